/** Prints how long the first life takes in this process, ms. */
import { runLifeSync } from '../../src/life/run.ts'
import { benchLives } from './lives.ts'

const preset = benchLives()[1]!.preset
const start = performance.now()
runLifeSync(preset)
process.stdout.write(String(performance.now() - start))
