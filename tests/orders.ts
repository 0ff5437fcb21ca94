/**
 * `npm run -s orders -- --count 2000 --seed 1`: random lives in two shuffled orders and each with an engine of its own
 * must be the same to the last bit: no life depends on the lives before it.
 */
import { parseArgs } from 'node:util'
import { dropEngines } from '../src/life/engines.ts'
import { digestOfPreset } from './fixtures/lifeDigest.ts'
import { shuffled } from './fixtures/manyLives.ts'
import { presetsOf, settingsOf } from './fixtures/randomPresets.ts'

const { values } = parseArgs({
  options: {
    count: { type: 'string', default: '2000' },
    seed: { type: 'string', default: '1' },
    cells: { type: 'boolean', default: false },
  },
})
const count = Number(values.count)
const seed = Number(values.seed)
const presets = presetsOf(count, seed, { accuracy: { quick: 8, normal: 2 }, cells: values.cells })

const alone = presets.map((preset) => {
  dropEngines()
  return digestOfPreset(preset)
})
dropEngines()
let different = 0
for (const turn of [1, 2]) {
  for (const k of shuffled(count, seed + turn)) {
    if (digestOfPreset(presets[k]!) === alone[k]) continue
    different++
    process.stdout.write(`turn ${turn}, life ${k} differs: ${settingsOf(presets[k]!).join(' ')}\n`)
  }
}
process.stdout.write(`${count} lives, seed ${seed}, alone and in two orders: ${different} differences\n`)
process.exitCode = different > 0 ? 1 : 0
