/** The command `map`: what it writes is one map, in each of its forms; what is wrong is told with what would be right. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parquetReadObjects } from 'hyparquet'
import { afterAll, describe, expect, it } from 'vitest'
import { loadPreset } from '../../src/cli/load.ts'
import { main } from '../../src/cli/map.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { axisOver } from '../../src/plan/mapAxes.ts'
import { mapCsv } from '../../src/plan/mapTable.ts'
import { outcomeMap } from '../../src/plan/outcomeMap.ts'
import { callOf } from '../fixtures/captured.ts'

const file = 'presets/harbour-lane-bursts.json'
const axes = ['--across', 'drop.alcoholMassFraction=0.3..0.9', '--up', 'drop.volume_uL=2..20']
const folder = mkdtempSync(join(tmpdir(), 'rimtide-map-'))
afterAll(() => rmSync(folder, { recursive: true }))

describe('the command', () => {
  it('writes the map that the page works out, as CSV, Parquet and JSON alike', async () => {
    const [csv, parquet] = [join(folder, 'm.csv'), join(folder, 'm.parquet')]
    const argv = [
      file,
      ...axes,
      '--fine',
      '17',
      '--workers',
      '1',
      '--csv',
      csv,
      '--parquet',
      parquet,
      '--json',
    ]
    const { code, out, err } = await callOf((to) => main(argv, to))
    expect({ code, err }).toEqual({ code: 0, err: '' })
    const loaded = loadPreset(file, [], [])
    if (!loaded.ok) throw new Error('no preset')
    const made = await outcomeMap(
      loaded.preset,
      {
        x: axisOver('drop.alcoholMassFraction', 0.3, 0.9, 17),
        y: axisOver('drop.volume_uL', 2, 20, 13),
        refine: { coarse: 2 },
      },
      runLifeSync,
    )
    if (!made.ok) throw new Error('no map')
    expect(readFileSync(csv, 'utf8')).toBe(mapCsv(made.map))
    const told = JSON.parse(out)
    expect(told).toMatchObject({ across: 17, up: 13, points: 221, run: made.map.done })
    const bytes = readFileSync(parquet)
    const rows = await parquetReadObjects({
      file: bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength) as ArrayBuffer,
    })
    expect(rows).toHaveLength(221)
    for (const [name, column] of Object.entries<unknown[]>(told.columns))
      expect(rows.map((row) => row[name] ?? null)).toEqual(column)
  }, 120_000)

  it.each([
    [[], /Which --across\? Write it as --across KEY=FROM\.\.TO/],
    [['--across', 'drop.volume_uL=1'], /--across is "drop\.volume_uL=1": write it as/],
    [['--across', 'drop.alcohol=1..2'], /"drop\.alcohol" is not a number of a preset/],
    [[...axes, '--fine', '3'], /--fine is "3"\. Permitted: 5 to 401/],
    [[...axes, '--by', 'colour'], /"colour" is no output\. There are: maxRadius_mm/],
    [[...axes, '--by', 'life_s', '--every'], /exclude each other/],
    [[...axes.slice(0, 3), 'drop.alcoholMassFraction=0..1'], /choose two different keys/],
    [[...axes.slice(0, 3), 'drop.volume_uL=0..500'], /drop\.volume_uL to 500\. Permitted: 0\.5 to 100 µL/],
    [[...axes, '--parquet', file], /--parquet .*harbour-lane-bursts/],
    [[...axes, '--parquet', ''], /--parquet is empty/],
  ])('%j is refused', async (argv, message) => {
    const { code, out, err } = await callOf((to) => main([file, ...argv], to))
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toMatch(message)
  })
})
