/** The lives of three presets at every accuracy, one line each with all digits: run by several JavaScript engines. */

import bursts from '../../presets/harbour-lane-bursts.json?raw'
import spreads from '../../presets/harbour-lane-spreads.json?raw'
import reference from '../../presets/reference.json?raw'
import { parsePreset, setKey } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'

// Shells without a console have print.
const say: (line: string) => void = (globalThis as { print?: (line: string) => void }).print ?? console.log

for (const text of [reference, spreads, bursts]) {
  for (const accuracy of ['quick', 'normal', 'fine']) {
    const read = parsePreset(text)
    const made = read.ok ? setKey(read.preset, 'model.accuracy', accuracy) : read
    const result = made.ok ? runLifeSync(made.preset) : made
    if (!result.ok) throw new Error(result.problems[0]?.message)
    const { preset, summary, frames } = result.life
    const sum = frames.h.reduce((all, h) => all + h, 0)
    say(`${preset.title}, ${accuracy}: ${summary.maxRadius} ${summary.collapseTime} ${frames.count} ${sum}`)
  }
}
