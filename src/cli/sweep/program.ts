/** By what the lives of a sweep were calculated: one table is of one code. */
import { CALCULATION } from '../../life/calculation.ts'
import { PROGRAM_VERSION } from '../../measured/programVersion.ts'

/** "0.1.0, calculation 30c851396d59". */
export const PROGRAM = `${PROGRAM_VERSION}, calculation ${CALCULATION}`
