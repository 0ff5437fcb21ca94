/**
 * Mechanisms that are switched off: each is a limit of the equations with an answer of its own. From the preset on.
 * Sources: stated beside each; all derived for this project from the equations, except the levelling rate (lubrication
 * theory, see levelling.test.ts) and the law of spreading over a boundary layer (see boundaryLayerSpreading.test.ts).
 */
import { describe, expect, it } from 'vitest'
import { offNames } from '../../src/life/mechanisms.ts'
import { defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { radiusAt } from '../../src/life/sample.ts'
import type { Life, LifeFrames, Preset } from '../../src/life/types.ts'
import { NO_FIELDS } from '../../src/model/bathFields.ts'
import { fingersOf } from '../../src/rim/fingers.ts'
import { expectClose } from '../matchers.ts'
import { bench, besselJ, J1_ZEROS, uniform } from './kernels.ts'

type Change = [string, Leaf]

const off = (...names: string[]): Change[] => names.map((name) => [`mechanisms.${name}`, false])

const presetWith = (...changes: Change[]): Preset => {
  const made = setKeys(defaultPreset(), changes)
  if (!made.ok) throw new Error(made.problems.map(({ message }) => message).join(' '))
  return made.preset
}

const closedForms: Change[] = [
  ['drop.alcohol', 'reference'],
  ['bath.liquid', 'reference'],
  ['air.mode', 'constant'],
]

function lifeOf(...changes: Change[]): Life {
  const result = runLifeSync(presetWith(...changes))
  if (!result.ok) throw new Error('no life')
  return result.life
}

/** The curves of the reference case (model.md): N/m. */
const gammaO = 33e-3
const gammaA = (phi: number) => 1e-3 * (27.6 - 6.4 * phi + 44.4 * Math.exp(-phi / 0.085))
const gammaI = (phi: number) => 1e-3 * (0.4 + 24.5 * Math.exp(-3.6 * phi))
const coverage = 50e-9
const cover = (h: number) => Math.max(h, 0) ** 2 / (Math.max(h, 0) ** 2 + coverage ** 2)

/** Calls `look` with every face between two cells at every tenth moment. */
function everyFace({ frames }: Life, look: (k: number, a: number, face: number, d: number) => void): void {
  const { count, inner, sFaces, R } = frames
  // Cells are placed in the middle of their area; the gradient is taken in r² (filmMesh.ts).
  const middle = (i: number) => (sFaces[i]! ** 2 + sFaces[i + 1]! ** 2) / 2
  for (let k = 0; k < count; k += 10) {
    for (let f = 1; f < inner; f++) {
      look(
        k,
        k * inner + f - 1,
        k * (inner + 1) + f,
        (R[k]! * (middle(f) - middle(f - 1))) / (2 * sFaces[f]!),
      )
    }
  }
}

describe('evaporation off', () => {
  const airs: Change[][] = [
    [
      ['air.mode', 'moving'],
      ['air.relativeHumidity', 1],
    ],
    [
      ['air.mode', 'still'],
      ['air.relativeHumidity', 0],
    ],
    [
      ['air.mode', 'constant'],
      ['air.constantRate_umPerS', 20],
    ],
  ]
  for (const air of airs) {
    it(`keeps alcohol and water to 1e-12 through the whole life: air "${air[0]![1]}"`, () => {
      const { series, summary } = lifeOf(...off('evaporation'), ...off('uptake'), ...air, [
        'drop.alcoholMassFraction',
        0.6,
      ])
      expect(series.t.length).toBeGreaterThan(30)
      series.t.forEach((t, k) => {
        const water = series.volume[k]! - series.alcohol[k]!
        expectClose(series.alcohol[k]! / series.alcohol[0]!, 1, { atol: 1e-12 }, `alcohol at ${t} s`)
        expectClose(water / (series.volume[0]! - series.alcohol[0]!), 1, { atol: 1e-12 }, `water at ${t} s`)
      })
      // Nothing takes the alcohol away that draws it out: it is not told to draw back.
      expect(['spreads', 'reaches-wall']).toContain(summary.outcome)
    })
  }
})

describe('a tension gradient off', () => {
  const strength: Change = ['drop.alcoholMassFraction', 0.5]

  it('above: the upper face pulls by the thinning of its cover alone, γa(φ0) ∂r C, on every face', () => {
    const life = lifeOf(...closedForms, strength, ...off('tensionAbove'))
    const { h, pullAbove } = life.frames
    everyFace(life, (_, a, f, d) => {
      const wanted = (gammaA(0.5) * (cover(h[a + 1]!) - cover(h[a]!))) / d
      expectClose(pullAbove[f]!, wanted, { rtol: 1e-3, atol: 1e-7 })
    })
  })

  it('below: the lower face pulls by the thinning of its cover alone, (γi(φ0) − γo) ∂r C, on every face', () => {
    const life = lifeOf(...closedForms, strength, ...off('tensionBelow'))
    const { h, pullBelow } = life.frames
    everyFace(life, (_, a, f, d) => {
      const wanted = ((gammaI(0.5) - gammaO) * (cover(h[a + 1]!) - cover(h[a]!))) / d
      expectClose(pullBelow[f]!, wanted, { rtol: 1e-3, atol: 1e-7 })
    })
  })

  const limits: [string, (phi: number) => number][] = [
    ['tensionAbove', (phi) => gammaO - gammaA(0.5) - gammaI(phi)],
    ['tensionBelow', (phi) => gammaO - gammaA(phi) - gammaI(0.5)],
  ]
  for (const [name, S] of limits) {
    it(`${name}: the tension on the oil is γo − C S with that curve at its value at φ0`, () => {
      const life = lifeOf(...closedForms, strength, ...off(name))
      const { h, phi, sigma, count, inner } = life.frames
      let lowest = 1
      for (let k = 0; k < count * inner; k += 7) {
        lowest = Math.min(lowest, phi[k]!)
        expectClose(sigma[k]!, gammaO - cover(h[k]!) * S(phi[k]!), { atol: 2e-6 })
      }
      // It was tried: the alcohol is not even.
      expect(lowest).toBeLessThan(0.4)
    })
  }

  it('changes nothing where the alcohol cannot change: R(t) without evaporation, within 0.1 %', () => {
    const still = off('evaporation')
    const both = lifeOf(...closedForms, strength, ...still)
    const none = lifeOf(...closedForms, strength, ...still, ...off('tensionAbove', 'tensionBelow'))
    for (const t of [0.5, 1, 2, 4, 8]) {
      expectClose(radiusAt(none.series, t), radiusAt(both.series, t), { rtol: 1e-3 })
    }
  })
})

/** Water (m³) inside radius r of moment k. */
function waterInside({ inner, sFaces, R, h, phi }: LifeFrames, k: number, r: number): number {
  let sum = 0
  for (let i = 0; i < inner; i++) {
    const from = sFaces[i]! * R[k]!
    const to = Math.min(sFaces[i + 1]! * R[k]!, r)
    if (to <= from) break
    const at = k * inner + i
    sum += Math.PI * (to * to - from * from) * h[at]! * (1 - phi[at]!)
  }
  return sum
}

function surfaceSpeed({ inner, outer, sFaces, R, u }: LifeFrames, k: number, r: number): number {
  const s = r / R[k]!
  const f = Math.max(
    1,
    Math.min(
      inner,
      sFaces.findIndex((face) => face >= s),
    ),
  )
  const at = k * (inner + 1 + outer) + f
  const share = (s - sFaces[f - 1]!) / (sFaces[f]! - sFaces[f - 1]!)
  return u[at - 1]! + share * (u[at]! - u[at - 1]!)
}

/** Largest relative change of the water inside a circle that moves with the bath's surface, until t = `until`. */
function waterThrough(life: Life, until: number): number {
  const { frames } = life
  let worst = 0
  for (const start of [0.3, 0.5, 0.7]) {
    let r = start * frames.R[0]!
    const water = waterInside(frames, 0, r)
    for (let k = 1; k < frames.count && frames.t[k]! < until; k++) {
      const dt = frames.t[k]! - frames.t[k - 1]!
      const before = surfaceSpeed(frames, k - 1, r)
      r += 0.5 * dt * (before + surfaceSpeed(frames, k, r + dt * before))
      worst = Math.max(worst, Math.abs(waterInside(frames, k, r) / water - 1))
    }
  }
  return worst
}

/**
 * Without a gradient above and without levelling nothing flows inside the film (q = 0): it rides on the bath, and with
 * constant evaporation, which takes no water, the water inside a circle that moves with the bath's surface stays.
 */
describe('no flow inside the film: tension gradient above and levelling off', () => {
  const drop: Change[] = [
    ...closedForms,
    ['drop.alcoholMassFraction', 0.5],
    ['model.dispersion_m2PerS', 1e-10],
    ['model.accuracy', 'fine'],
  ]
  it('every part of the film keeps its water on its way with the bath, within 1 %', () => {
    expect(waterThrough(lifeOf(...drop, ...off('tensionAbove', 'levelling')), 3)).toBeLessThan(0.01)
  })
  it('and does not where one of them is on', () => {
    const normal: Change = ['model.accuracy', 'normal']
    expect(waterThrough(lifeOf(...drop, normal, ...off('levelling')), 3)).toBeGreaterThan(0.02)
    expect(waterThrough(lifeOf(...drop, normal, ...off('tensionAbove')), 3)).toBeGreaterThan(0.1)
  })
})

describe('drag of the oil off', () => {
  it('leaves a tenth of the viscosity, but 5 mPa·s: R(t) is that of such an oil', () => {
    for (const [given, left] of [
      [500, 50],
      [20, 5],
      [3, 3],
    ] as const) {
      const off1 = lifeOf(...closedForms, ['bath.viscosity_mPas', given], ...off('bathDrag'))
      const on = lifeOf(...closedForms, ['bath.viscosity_mPas', left])
      for (const t of [0.3, 0.6]) {
        expectClose(radiusAt(off1.series, t), radiusAt(on.series, t), { rtol: 1e-3 }, `${given}, ${t} s`)
      }
      // What is told of the oil is the oil's own.
      expectClose(off1.facts.oilViscosity, given * 1e-3, { rtol: 1e-12 })
    }
  })

  it('makes a drop on creeping oil ten times as fast (Stokes: u ∝ 1/ηo where nothing else has a time), within 2 %', () => {
    const drop: Change[] = [
      ...closedForms,
      ['drop.alcoholMassFraction', 0.5],
      ['bath.viscosity_mPas', 5000],
      ['model.horizon_s', 60],
      ...off('evaporation', 'tensionAbove', 'tensionBelow', 'levelling'),
    ]
    const on = lifeOf(...drop)
    const free = lifeOf(...drop, ...off('bathDrag'))
    for (const t of [2, 5]) {
      expect(radiusAt(free.series, t)).toBeGreaterThan(1.5 * radiusAt(on.series, t))
      expectClose(radiusAt(free.series, t), radiusAt(on.series, 10 * t), { rtol: 0.02 }, `${t} s`)
    }
  })
})

describe('levelling off', () => {
  const L = 5e-3
  const h0 = 1e-4
  /** A ripple ε J0(kr) on a film at rest on a rigid floor, of the drop of a preset: its amplitude after `t` by that before. */
  function ripple(changes: Change[], zero: number, t: number): number {
    const { problem } = problemOf(presetWith(...closedForms, ...changes))
    const cells = 160
    const b = bench(
      { ...problem, fields: NO_FIELDS, edge: 'wall', startRadius: L, dishRadius: 2 * L },
      { cells, faces: uniform(cells), rtol: 1e-9, floor: 1e-14 },
      (s) => h0 * (1 + 1e-4 * besselJ(0, zero * s)),
    )
    // From a fifth of the time on, as the first step only begins.
    b.to(0.2 * t)
    const before = b.sys.h[0]! - h0
    b.to(1.2 * t)
    return (b.sys.h[0]! - h0) / before
  }
  // Nothing but the pressure moves the film.
  const still = off('evaporation', 'tensionAbove')
  for (const n of [0, 2]) {
    const k = J1_ZEROS[n]! / L
    // γ_eff 5 mN/m and η 2.5 mPa·s: the reference case.
    const rate = (h0 ** 3 * k ** 4 * 5e-3) / (3 * 2.5e-3)
    it(`a ripple (zero ${n + 1} of J1) stays as it is to 1e-9 where it would decay to 1/e`, () => {
      expectClose(ripple([...still, ...off('levelling')], J1_ZEROS[n]!, 1 / rate), 1, { atol: 1e-9 })
      expectClose(ripple(still, J1_ZEROS[n]!, 1 / rate), Math.exp(-1), { rtol: 0.01 })
    })
  }
  it('the edge pulls with γo − σ alone, whatever its slope', () => {
    const { frames } = lifeOf(...closedForms, ['drop.alcoholMassFraction', 0.5], ...off('levelling'))
    for (let k = 0; k < frames.count; k++) {
      const sigma = frames.sigma[(k + 1) * frames.inner - 1]!
      expectClose(frames.edgePull[k]!, gammaO - sigma, { atol: 1e-15 }, `moment ${k}`)
    }
  })
  it('nothing holds a weak drop open, and that is told', () => {
    const weak: Change[] = [...closedForms, ['drop.alcoholMassFraction', 0.3]]
    const rest = lifeOf(...weak)
    const point = lifeOf(...weak, ...off('levelling'))
    expect([rest.summary.outcome, point.summary.outcome]).toEqual(['lens', 'lens'])
    expect(point.summary.cause).toMatch(/together to a point/)
    expect(point.series.R.at(-1)!).toBeLessThan(0.9 * rest.series.R.at(-1)!)
  })
  it('no beads grow on the rim, and none are shed', async () => {
    const life = lifeOf(['drop.alcoholMassFraction', 0.6], ['ring.breakUp', true], ...off('levelling'))
    const { series, summary } = life
    expect(summary.childDrops.volume).toBe(0)
    expect(Math.max(...series.beadAmplitude)).toBe(0)
    expect((await fingersOf(life))?.verdict).toBe('none')
  })
})

it('a preset has all mechanisms on unless it says otherwise', () => {
  expect(offNames(defaultPreset())).toEqual([])
})
