/** Names the code by which lives are calculated: numbers that are kept beside others are to be of the same. */
export { CALCULATION } from './calculation.generated.ts'
