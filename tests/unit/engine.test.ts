/**
 * The compiled engine against the same sources run as TypeScript: bit for bit. The plain one is the oracle; that it is right
 * itself is what tests/verification holds against closed forms.
 */
import { afterEach, describe, expect, it } from 'vitest'
import { canCompile, kernelsFor } from '../../src/engine/kernels.ts'
import { runOn } from '../../src/life/engines.ts'
import type { Preset } from '../../src/life/types.ts'
import { digestOfPreset } from '../fixtures/lifeDigest.ts'
import { cases } from '../fixtures/long.ts'
import { presetsOf, settingsOf } from '../fixtures/randomPresets.ts'

const COUNT = cases(20, 500)

afterEach(() => runOn('compiled'))

const digestBy = (how: 'compiled' | 'plain', preset: Preset): string => {
  runOn(how)
  return digestOfPreset(preset)
}

const shape = { cells: 7, outer: 4, modes: 4, drinks: true, stages: 3, intervals: 8 }

/** All rows of a state and of what it is made of, each once, with its name. */
function rowsOf(
  part: object,
  name = 'state',
  rows = new Map<Float64Array, string>(),
): Map<Float64Array, string> {
  for (const [key, value] of Object.entries(part)) {
    if (value instanceof Float64Array) rows.set(value, rows.get(value) ?? `${name}.${key}`)
    else if (typeof value === 'object') rowsOf(value, `${name}.${key}`, rows)
  }
  return rows
}

describe('the compiled engine', () => {
  it('runs here', () => expect(canCompile()).toBe(true))

  it(
    `gives ${COUNT} random lives of all accuracies to the last bit as the plain one does`,
    () => {
      presetsOf(COUNT, 4711).forEach((preset, k) => {
        const name = `life ${k}: ${settingsOf(preset).join(' ')}`
        expect(digestBy('compiled', preset), name).toBe(digestBy('plain', preset))
      })
    },
    60_000 + COUNT * 5_000,
  )

  it('sees its rows where the plain sources lay them', () => {
    const [compiled, plain] = [kernelsFor(shape), kernelsFor(shape, 'plain')]
    const [seen, wanted] = [rowsOf(compiled.state), rowsOf(plain.state)]
    const lengths = (rows: Map<Float64Array, string>) =>
      [...rows].map(([row, name]) => `${name}: ${row.length}`)
    expect(lengths(seen)).toEqual(lengths(wanted))
    expect(seen.size).toBeGreaterThan(100)
    // No two rows share a place.
    const places = [...seen.keys()]
      .map((row) => [row.byteOffset, row.byteOffset + row.byteLength] as const)
      .sort(([x], [y]) => x - y)
    places.forEach(([from], k) => {
      expect(from).toBeGreaterThanOrEqual(places[k - 1]?.[1] ?? 0)
    })
  })

  it('takes no vector that is not its own', () => {
    const kernels = kernelsFor(shape)
    expect(() => kernels.evaluate(new Float64Array(kernels.state.n))).toThrow('own')
    expect(() => Array.from({ length: 50 }, () => kernels.vector())).toThrow('no vector left')
  })
})
