/** A sweep in parts: shards, also as a job array of Slurm counts them. */
import { readdirSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { runHere } from '../../src/life/hands.ts'
import { SweepPlace, smallPlan, stopping, sweep } from '../fixtures/sweeps.ts'

const COUNT = 24

let place: SweepPlace
/** The results of one run, to which all others are compared. */
let whole: Record<string, string>
const run = (folder: string, ...more: string[]) =>
  sweep([place.at('plan.json'), '--out', place.at(folder), ...more], { run: runHere })
beforeAll(async () => {
  place = new SweepPlace(smallPlan(COUNT))
  expect((await run('whole')).code).toBe(0)
  whole = place.results('whole')
})
afterAll(() => place.end())

describe('shards', () => {
  const shard = (folder: string, i: number, n: number) => run(folder, '--shard', `${i}/${n}`)
  it('computed one by one are collected to the bytes of one run', async () => {
    for (const i of [5, 2, 8, 1, 3, 7, 6, 4])
      expect(await shard('eight', i, 8)).toMatchObject({ code: 0, out: /^Shard \d\/8 is done/ })
    expect(readdirSync(place.at('eight'))).not.toContain('results.csv')
    const told = await sweep(['--collect', place.at('eight')])
    expect(told).toMatchObject({ code: 0, out: /^24 lives in .*eight/ })
    expect(place.results('eight')).toEqual(whole)
    expect(JSON.parse(place.text('eight', 'runs.json'))).toHaveLength(8)
  })
  it('that are missing are told, with their rows; those that are there are not computed again', async () => {
    for (const i of [1, 3]) await shard('some', i, 4)
    const { code, err } = await sweep(['--collect', place.at('some')])
    expect(code).toBe(2)
    expect(err).toContain(
      '12 of 24 rows are missing. Shard 2/4: 6 rows (not begun). Shard 4/4: 6 rows (not begun). Rows 2, 4, 6,',
    )
    expect(readdirSync(place.at('some'))).not.toContain('results.csv')
    const rest = stopping(Number.NaN, 'SIGINT')
    await sweep([place.at('plan.json'), '--out', place.at('some')], rest)
    expect(rest.computed()).toBe(12)
    expect(place.results('some')).toEqual(whole)
  })
  it.each(['0/8', '9/8', '3', '1/2/3', 'a/b', '1.5/2', '1/10001'])('%s is refused', async (text) => {
    const told = await run('never', '--shard', text)
    expect(told).toMatchObject({ code: 2, err: /--shard is ".*"\. Permitted: i\/n with n from 1 to 10000/ })
  })
})

describe('a task of a Slurm array', () => {
  // Names and meaning of the variables: Slurm's own manual page of sbatch, "OUTPUT ENVIRONMENT VARIABLES".
  const task = (id: number, more: object = {}) => ({
    run: runHere,
    env: {
      SLURM_ARRAY_TASK_ID: String(id),
      SLURM_ARRAY_TASK_COUNT: '3',
      SLURM_ARRAY_TASK_MIN: '10',
      ...more,
    },
  })
  const argv = () => [place.at('plan.json'), '--out', place.at('array')]
  it('knows its shard; sent again alone it is the same; --shard comes first', async () => {
    expect((await sweep(argv(), task(12))).out).toMatch(/^Shard 3\/3 is done/)
    const again = { SLURM_ARRAY_TASK_COUNT: '1', SLURM_ARRAY_TASK_MIN: '11' }
    expect((await sweep(argv(), task(11, again))).out).toMatch(/^Shard 2\/3 is done/)
    expect((await sweep([...argv(), '--shard', '1/3'], task(12))).out).toMatch(/^Shard 1\/3 is done/)
    expect((await sweep(['--collect', place.at('array')])).code).toBe(0)
    expect(place.results('array')).toEqual(whole)
  })
  it('of another array is refused', async () => {
    expect(await sweep(argv(), task(13))).toMatchObject({
      code: 2,
      err: /TASK_ID is 13\. Permitted: .*\(10 to 12\)/,
    })
  })
  it('may count by steps', async () => {
    const stepping = { SLURM_ARRAY_TASK_MIN: '0', SLURM_ARRAY_TASK_STEP: '4' }
    const to = [place.at('plan.json'), '--out', place.at('steps')]
    expect((await sweep(to, task(8, stepping))).out).toMatch(/^Shard 3\/3 is done/)
    expect(await sweep(to, task(6, stepping))).toMatchObject({ code: 2, err: /\(0 to 8 by 4\)/ })
  })
})
