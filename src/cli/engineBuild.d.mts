/** Compiles the engine where its binary is missing or older than its sources. @throws Error with what the compiler says */
export function ensureEngine(): Promise<void>
