/** The rows of a sweep: designs of experiments by their definitions. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { planOf } from '../../src/cli/sweep/planFile.ts'
import { runLevelSync } from '../../src/life/run.ts'
import { OUTPUTS } from '../../src/plan/outputs.ts'
import { pointsOf } from '../../src/plan/sweep/points.ts'
import { columnsOf, presetOfRow, rowOf } from '../../src/plan/sweep/rows.ts'
import type { InputValue, SweepPlan } from '../../src/plan/sweep/types.ts'
import { ROOT } from '../fixtures/spawned.ts'

const preset = JSON.parse(readFileSync(join(ROOT, 'presets/reference.json'), 'utf8'))

function plan(more: object): SweepPlan {
  const made = planOf(JSON.stringify({ format: 'rimtide-sweep', version: 1, preset, ...more }), 'plan.json')
  if (!made.ok) throw new Error(made.messages.join('\n'))
  return made.plan
}
const rowsOf = (one: SweepPlan): InputValue[][] => {
  const points = pointsOf(one)
  return Array.from({ length: one.count }, (_, i) => points(i))
}
const column = (one: SweepPlan, i: number): number[] => rowsOf(one).map((row) => row[i] as number)

const VOLUME = 'drop.volume_uL'

describe('a grid', () => {
  it('has every combination once; the last input changes from row to row', () => {
    const inputs = {
      'ring.breakUp': { values: [true, false] },
      [VOLUME]: { from: 1, to: 100, count: 3, logarithmic: true },
      'drop.alcoholMassFraction': { from: 0.4, to: 0.8, count: 5 },
    }
    const rows = rowsOf(plan({ design: 'grid', inputs }))
    expect(new Set(rows.map(String)).size).toBe(30)
    expect(rows.slice(0, 6)).toEqual([
      [true, 1, 0.4],
      [true, 1, 0.5],
      [true, 1, 0.6],
      [true, 1, 0.7],
      [true, 1, 0.8],
      [true, 10, 0.4],
    ])
    expect(rows.at(-1)).toEqual([false, 100, 0.8])
  })
  it('rounds where only whole numbers are permitted', () => {
    const one = plan({ design: 'grid', inputs: { 'model.innerCells': { from: 40, to: 83, count: 3 } } })
    expect(column(one, 0)).toEqual([40, 62, 83])
  })
})

describe('a list', () => {
  it('is taken row by row, given either way', () => {
    const byKey = { inputs: { [VOLUME]: { values: [5, null, 7] }, 'bath.depth_mm': { values: [3, 4, 5] } } }
    const byRow = {
      rows: [
        { [VOLUME]: 5, 'bath.depth_mm': 3 },
        { 'bath.depth_mm': 4, [VOLUME]: null },
        { [VOLUME]: 7, 'bath.depth_mm': 5 },
      ],
    }
    for (const given of [byKey, byRow])
      expect(rowsOf(plan({ design: 'list', ...given }))).toEqual([
        [5, 3],
        [null, 4],
        [7, 5],
      ])
  })
})

describe('a Latin hypercube', () => {
  const inputs = {
    [VOLUME]: { from: 10, to: 20 },
    'drop.alcoholMassFraction': { from: 0.1, to: 0.8, logarithmic: true },
  }
  const one = plan({ design: 'latin', count: 50, seed: 3, inputs })
  // McKay, Beckman & Conover, Technometrics 21, 239 (1979): each of N equal parts holds one point.
  it('has one point in each part, by ratio where that is asked for', () => {
    const parts = (values: number[], part: (value: number) => number) =>
      values.map((value) => Math.floor(50 * part(value))).sort((a, b) => a - b)
    const all = Array.from({ length: 50 }, (_, i) => i)
    expect(parts(column(one, 0), (v) => (v - 10) / 10)).toEqual(all)
    expect(parts(column(one, 1), (w) => Math.log(w / 0.1) / Math.log(8))).toEqual(all)
  })
  it('is the same for the same seed, and another for another', () => {
    expect(rowsOf(plan({ design: 'latin', count: 50, seed: 3, inputs }))).toEqual(rowsOf(one))
    expect(rowsOf(plan({ design: 'latin', count: 50, seed: 4, inputs }))).not.toEqual(rowsOf(one))
  })
})

describe('a Sobol sequence', () => {
  const inputs = { [VOLUME]: { from: 10, to: 20 }, 'bath.depth_mm': { from: 4, to: 8 } }
  const sobol = (more: object) => plan({ design: 'sobol', count: 64, inputs, ...more })
  it('begins as published', () => {
    // Joe & Kuo, SIAM J. Sci. Comput. 30, 2635 (2008), their program in Gray code order: 0, ½½, ¾¼, ¼¾, …
    expect(rowsOf(sobol({ count: 4 }))).toEqual([
      [10, 4],
      [15, 6],
      [17.5, 5],
      [12.5, 7],
    ])
  })
  it.each([0, 1, 99])('is a net: each of 64 boxes of any shape holds one point (seed %i)', (seed) => {
    // Sobol, USSR Comput. Math. Math. Phys. 7, 86 (1967): (0, m, 2)-net in base 2; a digital shift keeps that.
    for (let a = 0; a <= 6; a++) {
      const boxes = rowsOf(sobol({ seed })).map(([v, d]) => {
        const [x, y] = [((v as number) - 10) / 10, ((d as number) - 4) / 4]
        return `${Math.floor(x * 2 ** a + 1e-9)} ${Math.floor(y * 2 ** (6 - a) + 1e-9)}`
      })
      expect(new Set(boxes).size).toBe(64)
    }
  })
  it('gives listed values and whole numbers equal parts', () => {
    const counted = plan({
      design: 'sobol',
      count: 64,
      inputs: {
        'model.innerCells': { from: 40, to: 43 },
        'drop.alcohol': { values: ['ethanol', '2-propanol'] },
      },
    })
    const counts = (values: unknown[]) =>
      [...new Set(values)].map((one) => values.filter((value) => value === one).length)
    expect(counts(column(counted, 0))).toEqual([16, 16, 16, 16])
    expect(counts(rowsOf(counted).map((row) => row[1]))).toEqual([32, 32])
  })
})

describe('a row', () => {
  const one = plan({
    design: 'list',
    accuracy: 'quick',
    inputs: { [VOLUME]: { values: [12] }, 'ring.breakUp': { values: [true] } },
  })
  it('is the life of the drop with these inputs, to the last bit', () => {
    const made = presetOfRow(one, pointsOf(one)(0))
    if (!made.ok) throw new Error('refused')
    expect(made.preset).toMatchObject({
      drop: { volume_uL: 12 },
      ring: { breakUp: true },
      model: { accuracy: 'quick' },
    })
    const result = runLevelSync(made.preset, 'quick')
    if (!result.ok) throw new Error('failed')
    const { outputs, outcome, cause } = rowOf(one, result)
    expect({ outcome, cause }).toEqual({
      outcome: result.life.summary.outcome,
      cause: result.life.summary.cause,
    })
    OUTPUTS.forEach(({ of }, i) => {
      expect(outputs[i] ?? Number.NaN).toBe(of(result.life))
    })
  })
  it('that the rules refuse says why; a life that broke off has no numbers', () => {
    const beyond = plan({
      design: 'list',
      inputs: { 'drop.startRadius_mm': { values: [10] }, 'bath.dishRadius_mm': { values: [10] } },
    })
    expect(presetOfRow(beyond, pointsOf(beyond)(0))).toMatchObject({
      ok: false,
      problems: [{ message: /less than bath\.dishRadius_mm, 10 mm/ }],
    })
    const broken = rowOf(one, { ok: false, reason: 'crashed', problems: [{ where: '', message: 'why' }] })
    expect(broken).toEqual({ outputs: OUTPUTS.map(() => null), outcome: 'failed', cause: 'why' })
  })
  it('has a column for each input and output', () => {
    expect(columnsOf(one).map(({ name, kind }) => `${name} ${kind}`)).toEqual([
      'row whole',
      'drop.volume_uL number',
      'ring.breakUp truth',
      ...OUTPUTS.map(({ id }) => `${id} number`),
      'outcome text',
      'cause text',
    ])
  })
})
