/** The beads as a life itself estimates them: by hand, and on lives of shipped presets. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { beadsOf } from '../../src/life/beads.ts'
import { parsePreset, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, LifeSeries, Preset } from '../../src/life/types.ts'
import { LIMITS } from '../../src/plan/limits.ts'
import { expectClose } from '../matchers.ts'

/** A parabolic ring of base 1 mm and height 50 µm, 100 beads on a circle of 20 mm; its section is 2/3 of base times height. */
const R = 0.02
const section = (2 / 3) * 1e-3 * 50e-6
const oneDrop = Math.cbrt((3 * section * 2 * Math.PI * R) / (100 * 4 * Math.PI))

function withWaves(
  amplitudes: number[],
  height = 50e-6,
  outcome = 'recedes',
): Pick<Life, 'series' | 'summary'> {
  const same = (value: number) => Float64Array.from(amplitudes, () => value)
  const series = {
    t: Float64Array.from(amplitudes, (_, k) => 0.5 * k),
    R: same(R),
    ringHeight: same(height),
    beads: same(100),
    beadAmplitude: Float64Array.from(amplitudes),
    beadRadius: same(oneDrop * Math.cbrt(height / 50e-6)),
    ringBase: same(1e-3),
  } as unknown as LifeSeries
  return { series, summary: { outcome, maxRadiusTime: 1.2 } as Life['summary'] }
}

describe('beads of a life', () => {
  it('show once a wave moves the edge by a quarter of the base of the ring', () => {
    expect(beadsOf(withWaves([1e-6, 2.4e-4, 2.4e-4]))).toBeNull()
    const beads = beadsOf(withWaves([1e-6, 2.4e-4, 2.6e-4, 4e-4]))!
    expect([beads.from, beads.count]).toEqual([1, 100])
    // Circumference of a circle of 20 mm: 125.66 mm.
    expectClose(beads.spacing, 1.2566e-3, { rtol: 1e-4 })
    expect(beads.dropRadius).toBe(oneDrop)
  })
  it('do not come of noise alone on a ring of a micrometre, after the largest radius, or on a lens', () => {
    const thin = withWaves([1e-6, 1e-6, 1e-6])
    // A base of 3 µm is less than four times the noise.
    thin.series.ringBase.fill(3e-6)
    expect(beadsOf(thin)).toBeNull()
    expect(beadsOf(withWaves([1e-6, 1e-6, 1e-6, 4e-4]))).toBeNull()
    expect(beadsOf(withWaves([1e-6, 4e-4, 4e-4], 50e-6, 'lens'))).toBeNull()
  })
})

const presets = join(import.meta.dirname, '../../presets')
const bursts = parsePreset(readFileSync(join(presets, 'harbour-lane-bursts.json'), 'utf8'))
if (!bursts.ok) throw new Error('no preset')
const first = bursts.preset
function lifeOf(changes: [string, number | boolean | string][] = [], preset: Preset = first): Life {
  const made = setKeys(preset, changes)
  if (!made.ok) throw new Error('not permitted')
  const run = runLifeSync(made.preset)
  if (!run.ok) throw new Error('no life')
  return run.life
}

describe('the first drop', () => {
  const life = lifeOf()
  const { series, summary } = life
  const largest = series.t.findLastIndex((t) => t <= summary.maxRadiusTime)
  it('grows a rim that anyone can see, with a hundred to two hundred and fifty beads, then thousands of drops', () => {
    expect(summary.outcome).toBe('sheds')
    expect(series.ringHeight[largest]! * 1e6).toBeGreaterThan(20)
    const { atLargest } = beadsOf(life)!
    expect(atLargest.count).toBeGreaterThan(100)
    expect(atLargest.count).toBeLessThan(250)
    expect(summary.childDrops.count).toBeGreaterThan(2000)
    expect(summary.childDrops.count).toBeLessThan(10_000)
    // Most is shed while the rim is as high as that.
    expect(series.childVolume[largest]!).toBeLessThan(0.6 * summary.childDrops.volume)
  })
  it('has beads of as much liquid as its ring holds', () => {
    const { count } = beadsOf(life)!.atLargest
    const oneBead = (4 * Math.PI * series.beadRadius[largest]! ** 3) / 3
    // The ring's volume is summed over the cells down to the oil; what lies below the thin spot's height does not bead.
    const [thin, from, R] = [series.thin, series.thinRadius, series.R].map((of) => of[largest]!)
    const below = thin! * Math.PI * (R! ** 2 - from! ** 2)
    expectClose(count * oneBead, series.ringVolume[largest]! - below, { rtol: 0.1 })
  })
  it('close to its threshold has none that show', () => {
    expect(beadsOf(lifeOf([['drop.alcoholMassFraction', 0.5]]))).toBeNull()
  })
})

/** Which drops leave first turns on rounding: the median moves by some per cent. */
const ABOUT = { rtol: 0.08 }

// The text of the limits quotes numbers: they are those of the lives.
describe('the limits', () => {
  const text = LIMITS.find((line) => line.startsWith('On thicker oil'))!
  const median = (life: Life) => Math.round(1e6 * life.summary.childDrops.medianRadius)
  it('quote the drops on kitchen-grade rapeseed oil and on castor oil', () => {
    const on = (liquid: string) =>
      median(
        lifeOf([
          ['bath.liquid', liquid],
          ['drop.alcoholMassFraction', 0.7],
        ]),
      )
    const [, rapeseed] =
      /gives about (\d+) µm on kitchen-grade rapeseed oil and sheds nothing on castor oil/.exec(text)!
    expectClose(on('rapeseed-oil-kitchen'), Number(rapeseed), ABOUT)
    expect(on('castor-oil')).toBeNaN()
  })
  it('quote the drops on thin and thick oils', () => {
    const [, drops, oils] = /drops of about ([\d, and]+) µm radius .* on oils of ([\d, and]+) mPa·s/.exec(
      text,
    )!
    const numbers = (list: string) => list.match(/\d+/g)!.map(Number)
    const reference = parsePreset(readFileSync(join(presets, 'reference.json'), 'utf8'))
    if (!reference.ok) throw new Error('no preset')
    const found = numbers(oils!).map((viscosity) =>
      median(
        lifeOf(
          [
            ['ring.breakUp', true],
            ['drop.alcoholMassFraction', 0.7],
            ['bath.viscosity_mPas', viscosity],
          ],
          reference.preset,
        ),
      ),
    )
    expect(found.length).toBe(5)
    for (const [k, drop] of numbers(drops!).entries()) expectClose(found[k]!, drop, ABOUT)
  })
})
