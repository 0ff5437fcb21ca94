/** Unfinished work on recordings: kept when another recording comes, when the store fails, and until it is a curve. */
import { describe, expect, it } from 'vitest'
import { keyOf } from '../../src/measured/video/series.ts'
import { createMeasuring } from '../../src/page/video/measuring.ts'
import { correct, takeSource } from '../../src/page/video/session.ts'
import { isKeptWork } from '../../src/page/video/workShelf.ts'
import { bench, corrected, memory, recording, times } from '../fixtures/unfinishedWork.ts'

describe('unfinished work', () => {
  it('is put aside for the next recording, and got back with its corrections and times', async () => {
    const work = bench(memory())
    await work.take('a.webm')
    work.measure()
    await work.take('b.webm')
    expect(work.session.getState().readings.size).toBe(0)
    expect(work.keeper.others.map(({ source }) => source.name)).toEqual(['a.webm'])
    work.keeper.getBack(work.keeper.others[0]!.id)
    const { source, readings } = work.session.getState()
    expect(corrected(work)).toBe(3e-3)
    expect([...readings.values()].map(({ time }) => time)).toEqual(times)
    expect(source?.withoutPictures).toBe(true)
    expect((await source!.after(0, 1))?.time).toBe(0.5)
    expect((await source!.after(0, 1))?.flag).toBe('not-kept')
    expect(work.keeper.others).toEqual([])
  })
  it('is there after a reload', async () => {
    const shelf = memory()
    const first = bench(shelf)
    await first.take('a.webm')
    first.measure()
    await first.keeper.flush()
    const second = bench(shelf)
    await new Promise((resolve) => setTimeout(resolve, 0))
    expect(second.keeper.others.length).toBe(1)
    second.keeper.getBack(second.keeper.others[0]!.id)
    expect(corrected(second)).toBe(3e-3)
    await second.keeper.flush()
    // One record still, under a name of its own.
    expect([...shelf.records.keys()]).toEqual([second.session.getState().id])
  })
  it('joins the pictures when the same recording is chosen again, and no other one', async () => {
    const work = bench(memory())
    await work.take('a.webm')
    work.measure()
    await work.take('b.webm')
    work.keeper.getBack(work.keeper.others[0]!.id)
    const source = recording('a.webm')
    expect(takeSource(work.session, source, await source.at(0))).toBe(false)
    expect(work.session.getState().source?.withoutPictures).toBe(undefined)
    expect(corrected(work)).toBe(3e-3)
    const other = recording('c.webm')
    expect(takeSource(work.session, other, await other.at(0))).toBe(true)
    expect(corrected(work)).toBe(undefined)
  })
  it('is no longer kept once it is a curve, but is again when it is changed after that', async () => {
    const shelf = memory()
    const work = bench(shelf)
    await work.take('a.webm')
    work.measure()
    await work.keeper.flush()
    work.keeper.finish()
    await work.keeper.flush()
    expect(shelf.records.size).toBe(0)
    expect(work.keeper.setAside()).toBe(null)
    correct(work.session, keyOf(1), { dropped: true })
    await work.keeper.flush()
    expect(shelf.records.size).toBe(1)
    expect(work.keeper.setAside()).toBe('a.webm')
  })
  it('stays in the page when the store fails, and closing the page is asked about', async () => {
    const shelf = memory()
    const work = bench(shelf)
    await work.take('a.webm')
    expect(work.keeper.behind).toBe(false)
    shelf.broken = new DOMException('full', 'QuotaExceededError')
    work.measure()
    await work.keeper.flush()
    expect(work.failures).toEqual([shelf.broken])
    expect(work.keeper.behind).toBe(true)
    await work.take('b.webm')
    expect(work.keeper.others.length).toBe(1)
    expect(work.keeper.behind).toBe(true)
  })
  it('that is removed can be put back', async () => {
    const shelf = memory()
    const work = bench(shelf)
    await work.take('a.webm')
    work.measure()
    await work.take('b.webm')
    const back = work.keeper.remove(work.keeper.others[0]!.id)
    await work.keeper.flush()
    expect([work.keeper.others.length, shelf.records.size]).toEqual([0, 0])
    back?.()
    await work.keeper.flush()
    expect([work.keeper.others.length, shelf.records.size]).toEqual([1, 1])
  })
  it('what is not such work is left alone', () => {
    for (const record of [null, 3, {}, { format: 2, id: 'a' }, { format: 1, id: 'a', saved: 1 }]) {
      expect(isKeptWork(record)).toBe(false)
    }
  })
})

describe('measuring', () => {
  const client = {
    mark: async () => ({ flags: ['no-drop' as const], drop: null }),
    makeBath: async () => ({ picture: null, filled: 0, lacks: 'there are none' }),
    destroy() {},
  }
  it('that is stopped before its first frame goes on with that frame', async () => {
    const work = bench(memory())
    await work.take('a.webm')
    const measuring = createMeasuring(work.session, client, () => {})
    const begun = measuring.begin()
    measuring.stop()
    await begun
    expect(work.session.getState().readings.size).toBe(0)
    await measuring.resume()
    expect([...work.session.getState().readings.values()].map(({ time }) => time)).toEqual(times)
  })
  it('again with fewer frames keeps a radius that was set by hand on one between', async () => {
    const work = bench(memory())
    await work.take('a.webm')
    work.measure()
    work.session.setState({ stride: 2 })
    await createMeasuring(work.session, client, () => {}).begin()
    const { readings } = work.session.getState()
    expect([...readings.values()].map(({ time }) => time).sort()).toEqual([0, 0.5, 1])
    expect(corrected(work)).toBe(3e-3)
  })
})
