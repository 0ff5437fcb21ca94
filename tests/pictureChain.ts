/**
 * The whole chain: `npm run -s chain:pictures -- --count 20 --seed 1`. Lives with known inputs → recordings drawn from their radius
 * (pictures with noise, blur, uneven light, fingers, child drops, an empty bath before and after) → radii → a curve →
 * a fit with what an experimenter would know beforehand. Says how often both unknowns come back within 1 and 2 σ.
 */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { parsePreset } from '../src/life/preset.ts'
import { runLifeSync } from '../src/life/run.ts'
import type { Life, Preset } from '../src/life/types.ts'
import { courseOf, radiusAt } from '../src/measured/fit/course.ts'
import { fitLives } from '../src/measured/fit/fitLives.ts'
import { wholeError } from '../src/measured/fit/words.ts'
import type { MeasuredCurve } from '../src/measured/types.ts'
import { judge } from '../src/measured/video/judge.ts'
import { markDrop } from '../src/measured/video/mark.ts'
import { curveOf, pointsOf, type Reading } from '../src/measured/video/series.ts'
import { plainSettings } from '../src/measured/video/types.ts'
import { normal, uniform, withKeys } from './fixtures/fitCurves.ts'
import { drawScene, dyes, ringOf, type Scene, straw, trueRadius } from './fixtures/syntheticVideo.ts'

const UNKNOWNS = ['air.filmCoefficient_mmPerS', 'bath.viscosity_mPas'] as const

/** What is stated of a run, each with its standard uncertainty: common practice, no source. */
const SIGMA = { volume: 0.02, scale: 0.01, contact: 0.02, strength: 0.005 }

const METRES_PER_PIXEL = 0.16e-3
const FRAMES = 24

/** The truth behind one recording, and what its experimenter believes. */
interface Run {
  truth: Preset
  stated: Preset
  values: readonly [number, number]
  believedScale: number
  contact: number
  statedContact: number
}

function base(): Preset {
  const file = join(import.meta.dirname, '../presets/harbour-lane-spreads.json')
  const parsed = parsePreset(readFileSync(file, 'utf8'))
  if (!parsed.ok) throw new Error('no preset')
  return withKeys(parsed.preset, { 'model.accuracy': 'normal', 'bath.viscosity_mPas': 70 })
}

function runOf(seed: number): Run {
  const g = normal(7000 + seed)
  const u = uniform(9000 + seed)
  const stated = withKeys(base(), {
    'drop.alcoholMassFraction': Number((0.48 + 0.14 * u()).toFixed(3)),
    'drop.volume_uL': Number((7 + 6 * u()).toFixed(1)),
  })
  const values = [4 * Math.exp(0.25 * g()), 70 * Math.exp(0.15 * g())] as const
  const truth = withKeys(stated, {
    [UNKNOWNS[0]]: values[0],
    [UNKNOWNS[1]]: values[1],
    'drop.volume_uL': stated.drop.volume_uL * (1 + SIGMA.volume * g()),
    'drop.alcoholMassFraction': stated.drop.alcoholMassFraction + SIGMA.strength * g(),
  })
  const contact = 1 + u()
  return {
    truth,
    stated,
    values,
    believedScale: METRES_PER_PIXEL * (1 + SIGMA.scale * g()),
    contact,
    statedContact: contact + SIGMA.contact * g(),
  }
}

/** Frames with their times, s of the recording: two of the bath alone, the life, two after it. */
function recordingOf(life: Life, { contact }: Run, seed: number): { time: number; scene: Scene }[] {
  const u = uniform(400 + seed)
  const course = courseOf({ ok: true, life })
  const end = life.summary.collapseTime || life.series.t.at(-1)!
  const look = {
    width: 480,
    height: 360,
    bath: straw,
    passes: Object.values(dyes)[seed % 3]!,
    vignetting: 0.1 + 0.3 * u(),
    slope: 0.3 * u(),
    blur: 0.8 + u(),
    noise: 1 + 2.5 * u(),
  }
  const place = { x: 235 + 10 * u(), y: 175 + 10 * u() }
  const count = 20 + Math.floor(40 * u())
  const length = 0.08 * u()
  const turn = 6.28 * u()
  const bare = (time: number, k: number) => ({ time, scene: { ...look, drop: null, seed: 100 * seed + k } })
  const step = (0.97 * end) / FRAMES
  const living = Array.from({ length: FRAMES }, (_, k) => {
    const t = step * (k + 0.6)
    const r = radiusAt(course, t) / METRES_PER_PIXEL
    const grown = Math.min(1, t / (0.5 * end)) * length
    const raw = (angle: number) => 1 + grown * Math.cos(count * (angle - turn))
    const share = 1 / trueRadius({ ...look, drop: { ...place, r: 1 }, shape: raw })
    const shape = (angle: number) => share * raw(angle)
    const children = t > 0.4 * end ? ringOf({ ...place, r: r * (1 + grown) }, count, 2.2, 4) : []
    return {
      time: contact + t,
      scene: { ...look, drop: { ...place, r }, shape, children, seed: 100 * seed + k + 10 },
    }
  })
  return [
    bare(contact - 2 * step, 1),
    bare(contact - step, 2),
    ...living,
    bare(contact + 1.1 * end, 3),
    bare(contact + 1.2 * end, 4),
  ]
}

/** The curve that an experimenter gets from the recording. */
function measured(frames: { time: number; scene: Scene }[], run: Run, name: string): MeasuredCurve {
  const readings: Reading[] = frames.map(({ time, scene }) => ({
    time,
    result: markDrop(drawScene(scene), plainSettings(), drawScene(frames[0]!.scene)),
  }))
  const scale = { metresPerPixel: run.believedScale, relativeUncertainty: SIGMA.scale }
  const timing = { start: run.statedContact, slowing: 1 }
  const points = pointsOf(readings, new Map(), scale, timing, 'area', judge(readings))
  const { drop } = run.stated
  const meta = {
    alcoholFraction: drop.alcoholMassFraction,
    volume_uL: drop.volume_uL,
    sigma: {
      volume_uL: SIGMA.volume * drop.volume_uL,
      alcoholFraction: SIGMA.strength,
      startTime_s: SIGMA.contact,
    },
  }
  const made = curveOf(points, { name, file: `${name}.mp4`, meta })
  if (!made.ok) throw new Error(`${name}: ${made.message}`)
  return made.curve
}

async function tryOne(seed: number) {
  const run = runOf(seed)
  const lived = runLifeSync(run.truth)
  if (!lived.ok) throw new Error(`seed ${seed}: no life`)
  const curve = measured(recordingOf(lived.life, run, seed), run, `run ${seed}`)
  const outcome = await fitLives(
    { preset: run.stated, curves: [curve], unknowns: [...UNKNOWNS] },
    runLifeSync,
  )
  if (!outcome.ok)
    throw new Error(`seed ${seed}: ${outcome.problems.map(({ message }) => message).join(' ')}`)
  const { unknowns, reduced, lives } = outcome.fit
  const pulls = unknowns.map((unknown, j) => (unknown.value - run.values[j]!) / wholeError(unknown))
  const told = unknowns.map(
    ({ value, error, statistical }, j) =>
      `${value.toPrecision(4)} ± ${error.toPrecision(2)} (noise ${statistical.toPrecision(2)}) for ${run.values[j]!.toPrecision(4)}`,
  )
  console.log(
    `${String(seed).padStart(3)}  ${lived.life.summary.outcome.padEnd(8)} ${curve.time.length} points  χ²/ν ${reduced.toFixed(2)}  ${lives} lives  ${told.join(', ')}  pulls ${pulls.map((pull) => pull.toFixed(2)).join(' ')}`,
  )
  return pulls
}

const { values } = parseArgs({
  options: { count: { type: 'string', default: '20' }, seed: { type: 'string', default: '1' } },
})
const all: number[][] = []
for (let k = 0; k < Number(values.count); k++) all.push(await tryOne(Number(values.seed) + k))
const within = (limit: number) => all.filter((pulls) => pulls.every((pull) => Math.abs(pull) <= limit)).length
const each = (limit: number) => all.flat().filter((pull) => Math.abs(pull) <= limit).length
console.log(
  `both unknowns within 2 σ in ${within(2)} of ${all.length}; single ones within 1 σ ${each(1)}, within 2 σ ${each(2)} of ${2 * all.length}`,
)
