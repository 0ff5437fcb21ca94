/**
 * The number types of the engine's sources, which AssemblyScript compiles and TypeScript runs: a whole number of 32 bits and
 * a real one of 64.
 */
declare type i32 = number
declare type f64 = number
