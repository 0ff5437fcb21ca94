/** The engine's sources run as they stand. */
import { useEngine } from '../../src/engine/kernels.ts'

useEngine('plain')
