// AssemblyScript: the compiled engine, with the addresses of its rows.
export * from '../entry'
export { rowAt } from '../memory'
