/** Lives whose rims are looked at: the shipped reference drop with changes. */
import { readFileSync } from 'node:fs'
import { type Leaf, parsePreset, setKeys } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life } from '../../src/life/types.ts'
import { type FingersDetail, fingersInDetail } from '../../src/rim/fingers.ts'
import { LifeStates } from '../../src/rim/states.ts'

const shipped = parsePreset(readFileSync(new URL('../../presets/reference.json', import.meta.url), 'utf8'))

/** 90 cells inside and 40 outside unless the changes say otherwise. */
export function rimLife(changes: Record<string, Leaf | null> = {}): Life {
  if (!shipped.ok) throw new Error('presets/reference.json is not a preset')
  const cells = { 'model.innerCells': 90, 'model.outerCells': 40 }
  const result = setKeys(shipped.preset, Object.entries({ ...cells, ...changes }))
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join('\n'))
  const run = runLifeSync(result.preset)
  if (!run.ok) throw new Error('no life')
  return run.life
}

export const statesOf = (life: Life): LifeStates =>
  new LifeStates(problemOf(life.preset).problem, life.frames)

export async function detailOf(changes: Record<string, Leaf | null> = {}): Promise<FingersDetail> {
  const detail = await fingersInDetail(rimLife(changes))
  if (!detail) throw new Error('stopped')
  return detail
}

/** First moment, s, at which the waves that have grown most have reached `gain`, linear in between, and their number. */
export function reaching({ moments }: FingersDetail, gain: number): { t: number; n: number } {
  const k = moments.findIndex((one) => one.gain >= gain)
  if (k < 1) return { t: Number.NaN, n: Number.NaN }
  const [a, b] = [moments[k - 1]!, moments[k]!]
  const share = (gain - a.gain) / (b.gain - a.gain)
  return { t: a.t + share * (b.t - a.t), n: a.count + share * (b.count - a.count) }
}

/** ln G and number of waves at the largest radius, and their length, mm. */
export function atLargest({ moments }: FingersDetail): { gain: number; n: number; wavelength: number } {
  const { gain, count, R } = moments.at(-1)!
  return { gain, n: count, wavelength: (2e3 * Math.PI * R) / count }
}
