/** The page goes away at any moment: what was measured and corrected is there at the next start. Common practice, no source. */
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { keyOf } from '../../src/measured/video/series.ts'
import type { DropMark } from '../../src/measured/video/types.ts'
import { addReading, correct } from '../../src/page/video/session.ts'
import { newestOf, workNotes } from '../../src/page/video/workNotes.ts'
import { Storage } from '../fixtures/storage.ts'
import { bench, corrected, memory } from '../fixtures/unfinishedWork.ts'

beforeEach(() => {
  Storage.room = Number.POSITIVE_INFINITY
  vi.stubGlobal('localStorage', new Storage())
})
afterEach(() => {
  vi.useRealTimers()
  vi.unstubAllGlobals()
})

const calm = () => new Promise((resolve) => setTimeout(resolve, 0))
const noteNames = () => Object.keys(localStorage)

const mark: DropMark = {
  area: 100,
  equivalentRadius: 5.64,
  edgeRadius: 5.6,
  x: 12,
  y: 13,
  roundness: 0.98,
  blur: Number.NaN,
  uncertainty: 0.1,
  own: 0.1,
  threshold: 0,
  children: 0,
  level: 0.2,
  contrast: 0.4,
  noise: 0.01,
  calmNoise: 0.002,
  ragged: 0.01,
  loose: 0,
  bridged: 0,
  clipped: 0,
  gain: Number.POSITIVE_INFINITY,
  outline: Float32Array.of(1, 2, 3, 4),
}

/** A page whose last writing does not arrive: it is measured and corrected, and then goes away. */
async function goneTooSoon(shelf = memory(), now?: () => number) {
  const page = bench(shelf, workNotes(), now)
  await page.take('a.webm')
  page.measure()
  await page.keeper.flush()
  addReading(page.session, { time: 2, result: { flags: [], drop: mark } })
  shelf.stuck = true
  correct(page.session, keyOf(0.5), { radius: 4e-3 })
  page.keeper.rescue()
  return { shelf, page }
}

describe('the page goes away', () => {
  it('before the shelf has answered: the last correction is there at the next start', async () => {
    const { shelf, page } = await goneTooSoon()
    expect(page.keeper.behind).toBe(false)
    shelf.stuck = false
    expect(newestOf(await shelf.readAll(), workNotes().all()).works.length).toBe(1)
    const next = bench(shelf, workNotes())
    await calm()
    expect(next.keeper.others.length).toBe(1)
    next.keeper.getBack(next.keeper.others[0]!.id)
    expect(corrected(next)).toBe(4e-3)
    // Numbers that are none, and the outline that is not kept, come back as they went.
    const { drop } = next.session.getState().readings.get(keyOf(2))!.result
    expect(drop).toEqual({ ...mark, outline: new Float32Array() })
    await next.keeper.flush()
    expect([noteNames(), shelf.records.size]).toEqual([[], 1])
    expect([...shelf.records.values()][0]!.corrections).toEqual([
      [keyOf(0.5), { dropped: false, taken: false, radius: 4e-3 }],
    ])
  })

  it('and the shelf answers never again: the note alone is gone on with, and stays', async () => {
    const { shelf } = await goneTooSoon()
    shelf.readAll = () => new Promise(() => {})
    for (const radius of [5e-3, 6e-3]) {
      const next = bench(shelf, workNotes())
      await calm()
      expect(next.keeper.others.map(({ source }) => source.name)).toEqual(['a.webm'])
      next.keeper.getBack(next.keeper.others[0]!.id)
      correct(next.session, keyOf(0.5), { radius })
      next.keeper.rescue()
    }
    const last = bench(shelf, workNotes())
    await calm()
    last.keeper.getBack(last.keeper.others[0]!.id)
    expect([corrected(last), last.keeper.others.length]).toEqual([6e-3, 0])
  })

  it('after the shelf was newer than the note: the shelf counts and the note goes', async () => {
    const { shelf } = await goneTooSoon()
    const [note] = workNotes().all()
    const newer = { ...note!, saved: note!.saved + 1, corrections: [] }
    shelf.stuck = false
    shelf.records.set(newer.id, newer)
    const next = bench(shelf, workNotes())
    await calm()
    expect(next.keeper.others).toEqual([newer])
    expect([noteNames(), shelf.records.get(newer.id)]).toEqual([[], newer])
  })

  it('hidden only: the note goes once the shelf has the work', async () => {
    const shelf = memory()
    const page = bench(shelf, workNotes())
    await page.take('a.webm')
    page.measure()
    page.keeper.rescue()
    expect(noteNames().length).toBe(1)
    await page.keeper.flush()
    expect([noteNames(), shelf.records.size]).toEqual([[], 1])
  })

  it('with another recording put aside a moment ago: both are there', async () => {
    const { shelf, page } = await goneTooSoon()
    await page.take('b.webm')
    page.measure()
    page.keeper.rescue()
    shelf.stuck = false
    const next = bench(shelf, workNotes())
    await calm()
    expect(next.keeper.others.map(({ source }) => source.name)).toEqual(['b.webm', 'a.webm'])
    await next.keeper.flush()
    expect([noteNames(), shelf.records.size]).toEqual([[], 2])
  })

  it('with a full storage: closing is asked about, and it is told if the shelf does not answer either', async () => {
    vi.useFakeTimers()
    Storage.room = 100
    const { shelf, page } = await goneTooSoon()
    expect(page.keeper.behind).toBe(true)
    expect(page.failures).toEqual([])
    vi.runAllTimers()
    expect(page.failures).toEqual([new Error('the quota has been exceeded')])
    expect([noteNames(), shelf.records.size]).toEqual([[], 1])
  })

  it('with a full storage but a shelf that answers: nothing is told', async () => {
    vi.useFakeTimers()
    Storage.room = 100
    const page = bench(memory(), workNotes())
    await page.take('a.webm')
    page.measure()
    page.keeper.rescue()
    await page.keeper.flush()
    vi.runAllTimers()
    expect([page.keeper.behind, page.failures]).toEqual([false, []])
  })
})

describe('a correction by hand', () => {
  it('is written at once', async () => {
    const shelf = memory()
    const page = bench(shelf, workNotes())
    await page.take('a.webm')
    page.measure()
    await calm()
    const [kept] = [...shelf.records.values()]
    expect(kept?.corrections.length).toBe(1)
  })
})

describe('several tabs', () => {
  it('the note of a tab that has written more since does not come over it', async () => {
    const shelf = memory()
    const first = bench(shelf, workNotes(), () => 1000)
    await first.take('a.webm')
    first.measure()
    first.keeper.rescue()
    const note = workNotes().all()[0]!
    correct(first.session, keyOf(0.5), { radius: 7e-3 })
    await first.keeper.flush()
    // The other tab saw shelf and note as they were before.
    localStorage.setItem(`rimtide.unwritten.${note.id}`, JSON.stringify(note))
    const { readAll } = shelf
    shelf.readAll = async () => []
    const second = bench(shelf, workNotes())
    await calm()
    shelf.readAll = readAll
    await second.keeper.flush()
    expect([...shelf.records.get(note.id)!.corrections.values()][0]![1].radius).toBe(7e-3)
    expect(noteNames()).toEqual([])
  })
  it('what is not such a note is left alone', async () => {
    localStorage.setItem('rimtide.unwritten.a', 'rubbish')
    localStorage.setItem('rimtide.unwritten.b', '{"format":2}')
    const page = bench(memory(), workNotes())
    await calm()
    expect(page.keeper.others).toEqual([])
    expect(noteNames().length).toBe(2)
  })
})

describe('points that became a curve', () => {
  it('stay on the shelf until the curve is kept, and after that if they were changed again', async () => {
    for (const change of [false, true]) {
      const shelf = memory()
      const page = bench(shelf, workNotes())
      await page.take('a.webm')
      page.measure()
      let kept = () => {}
      page.keeper.finish((then) => {
        kept = then
      })
      await page.keeper.flush()
      expect([...shelf.records.values()].map(({ corrections }) => corrections.length)).toEqual([1])
      if (change) correct(page.session, keyOf(1), { dropped: true })
      kept()
      await page.keeper.flush()
      expect(shelf.records.size).toBe(change ? 1 : 0)
    }
  })
})
