/** Curves kept between visits and shared among tabs: nothing is lost or overwritten unseen. Common practice, no source. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { addCurves, redo, removeCurve, showCurve, undo } from '../../src/page/actions.ts'
import { changeMeta, duplicateCurve, moveCurve } from '../../src/page/measured/changes.ts'
import { Keeper, reasonOf, type Wire } from '../../src/page/measured/keeping.ts'
import type { Kept } from '../../src/page/measured/merge.ts'
import type { Shelf } from '../../src/page/measured/shelf.ts'
import { createPageStore } from '../../src/page/store.ts'
import { keptOf, type MemoryShelf, memoryShelf, wires } from '../fixtures/memoryShelf.ts'

const curve = (id: string, note = ''): MeasuredCurve => ({
  id,
  name: id,
  file: `${id}.csv`,
  meta: note ? { note } : {},
  time: Float64Array.of(0, 1 / 3, 5),
  radius: Float64Array.of(0.002, 0.01, 0.1 + 0.2),
})

let tabs = 0
const silent: Wire = { post() {}, listen() {}, close() {} }

function tab(shelf: Shelf | Error, wire: Wire = silent, now = () => 1e12) {
  const store = createPageStore(defaultPreset())
  const open = async () => {
    if (shelf instanceof Error) throw shelf
    return shelf
  }
  const keeper = new Keeper(store, { open, wire, tab: `tab${++tabs}`, now })
  const names = () => store.getState().measured.map(({ name }) => name)
  const notes = () => store.getState().measured.map(({ meta }) => meta.note ?? '')
  const said = () =>
    store
      .getState()
      .messages.map(({ text, kept }) => `${text} ${kept}`)
      .join('\n')
  return { store, keeper, names, notes, said }
}

/** Lets all tabs work until nothing is left to do. */
async function calm(...all: { keeper: Keeper }[]): Promise<void> {
  for (let i = 0; i < 20; i++) {
    await new Promise((resolve) => setImmediate(resolve))
    for (const { keeper } of all) await keeper.rest()
  }
}

describe('one tab', () => {
  it('the next visit finds the curves as they were, to the bit, in their order and with what was hidden', async () => {
    const shelf = memoryShelf()
    const first = tab(shelf)
    addCurves(first.store, [curve('a'), { ...curve('b'), excluded: Uint8Array.of(0, 1, 0) }, curve('c')])
    moveCurve(first.store, 'c', -1)
    changeMeta(first.store, 'a', { alcoholFraction: 0.6, conditions: 'rapeseed, 1 cm' })
    showCurve(first.store, 'b', false)
    await calm(first)
    expect(first.store.getState().keeping.state).toBe('kept')
    first.keeper.destroy()
    const second = tab(shelf)
    await calm(second)
    expect(second.store.getState().measured).toEqual(first.store.getState().measured)
    expect(second.names()).toEqual(['a', 'c', 'b'])
    expect([...second.store.getState().hidden]).toEqual(['b'])
    expect(second.store.getState().past).toEqual([])
    expect(second.said()).toBe('')
  })

  it('undo and redo are kept too', async () => {
    const shelf = memoryShelf()
    const one = tab(shelf)
    addCurves(one.store, [curve('a')])
    addCurves(one.store, [curve('b')])
    await calm(one)
    undo(one.store)
    await calm(one)
    expect(keptOf(shelf, 'b')!.removed).toBe(1e12)
    redo(one.store)
    await calm(one)
    expect(keptOf(shelf, 'b')).toMatchObject({ removed: 0, revision: 3 })
    expect(one.said()).toBe('')
  })

  it('a removed curve can be brought back after a reload, until it is let go of', async () => {
    const shelf = memoryShelf()
    const first = tab(shelf)
    addCurves(first.store, [curve('a'), curve('b')])
    await calm(first)
    removeCurve(first.store, 'a')
    await calm(first)
    const second = tab(shelf)
    await calm(second)
    expect(second.names()).toEqual(['b'])
    const { trash } = second.store.getState()
    expect(trash.map((one) => [one.curve.name, one.removed])).toEqual([['a', 1e12]])
    addCurves(second.store, [trash[0]!.curve])
    await calm(second)
    expect(second.store.getState().trash).toEqual([])
    removeCurve(second.store, 'a')
    await calm(second)
    second.keeper.emptyTrash()
    await calm(second)
    expect(keptOf(shelf, 'a')).toMatchObject({ curve: null, removed: 1e12 })
    expect(second.store.getState().trash).toEqual([])
    const third = tab(shelf)
    await calm(third)
    expect([third.names(), third.store.getState().trash]).toEqual([['b'], []])
  })

  it('removed curves go after 30 days or when there are more than 50; what tells other tabs goes after 90', async () => {
    const day = 86_400_000
    const shelf = memoryShelf()
    const put = (id: string, removed: number, full = true) =>
      shelf.records.set(id, { id, revision: 2, stamp: '2-x', removed, curve: full ? curve(id) : null })
    put('old', 1e12 - 31 * day)
    put('new', 1e12 - 29 * day)
    put('forgotten', 1e12 - 91 * day, false)
    put('bare', 1e12 - 80 * day, false)
    const one = tab(shelf)
    await calm(one)
    expect(one.store.getState().trash.map(({ curve }) => curve.id)).toEqual(['new'])
    expect(keptOf(shelf, 'old')!.curve).toBe(null)
    expect([...shelf.records.keys()].sort()).toEqual(['bare', 'new', 'old'])
    for (let i = 0; i < 60; i++) put(`r${i}`, 1e12 - i)
    const two = tab(shelf)
    await calm(two)
    expect(two.store.getState().trash).toHaveLength(50)
  })

  it('a curve that was added before the shelf was open is kept beside those on it', async () => {
    const shelf = memoryShelf()
    const first = tab(shelf)
    addCurves(first.store, [curve('a')])
    await calm(first)
    const second = tab(shelf)
    addCurves(second.store, [curve('a'), curve('b')])
    await calm(second)
    expect(second.names().sort()).toEqual(['a', 'b'])
    expect(second.said()).toBe('')
  })
})

describe('several tabs', () => {
  const pair = async () => {
    const shelf = memoryShelf()
    const [left, right] = wires(2)
    const a = tab(shelf, left)
    const b = tab(shelf, right)
    addCurves(a.store, [curve('x'), curve('y')])
    await calm(a, b)
    return { shelf, a, b }
  }

  it('changes, additions and removals arrive; undo takes back only what was done here', async () => {
    const { a, b } = await pair()
    expect(b.names()).toEqual(['x', 'y'])
    expect(b.store.getState().past).toEqual([])
    changeMeta(b.store, 'x', { note: 'from b' })
    addCurves(b.store, [curve('z')])
    await calm(a, b)
    expect([a.names(), a.notes()]).toEqual([
      ['x', 'y', 'z'],
      ['from b', '', ''],
    ])
    changeMeta(a.store, 'y', { note: 'from a' })
    removeCurve(b.store, 'z')
    await calm(a, b)
    undo(a.store)
    await calm(a, b)
    expect([a.names(), a.notes()]).toEqual([
      ['x', 'y'],
      ['from b', ''],
    ])
    expect(b.store.getState().measured).toEqual(a.store.getState().measured)
    expect([a.said(), b.said()]).toEqual(['', ''])
  })

  it('two changes of one curve at once are both kept, and that is said', async () => {
    const { shelf, a, b } = await pair()
    changeMeta(a.store, 'x', { note: 'from a' })
    changeMeta(b.store, 'x', { note: 'from b' })
    await calm(a, b)
    expect(a.notes().sort()).toEqual(['', 'from a', 'from b'])
    expect([...b.notes()].sort()).toEqual(['', 'from a', 'from b'])
    expect(a.said() + b.said()).toMatch(
      /^x was changed in two tabs at once\. Both are kept; .*“x \(other version\)”/,
    )
    const third = tab(shelf)
    await calm(third)
    expect(third.notes().sort()).toEqual(['', 'from a', 'from b'])
  })

  it('the same change in both is one', async () => {
    const { a, b } = await pair()
    for (const one of [a, b]) changeMeta(one.store, 'x', { note: 'same' })
    await calm(a, b)
    expect([a.notes(), b.notes()]).toEqual([
      ['same', ''],
      ['same', ''],
    ])
    expect(a.said() + b.said()).toBe('')
  })

  it('a curve that is changed here and removed there stays, whichever comes first', async () => {
    for (const removesFirst of [true, false]) {
      const { a, b } = await pair()
      const remove = () => removeCurve(a.store, 'x')
      const change = () => changeMeta(b.store, 'x', { note: 'worth keeping' })
      for (const act of removesFirst ? [remove, change] : [change, remove]) act()
      await calm(a, b)
      for (const one of [a, b])
        expect([...one.notes()].sort(), `${removesFirst}`).toEqual(['', 'worth keeping'])
      expect(a.said() + b.said()).toMatch(/removed/)
    }
  })

  it('a tab that slept through the messages catches up', async () => {
    const shelf = memoryShelf()
    const a = tab(shelf)
    const b = tab(shelf)
    await calm(a, b)
    addCurves(a.store, [curve('x')])
    await calm(a, b)
    expect(b.names()).toEqual([])
    b.keeper.refresh()
    await calm(b)
    expect(b.names()).toEqual(['x'])
  })

  it('whatever two tabs do, and however slowly: both end with the same curves, and with every change that was made', async () => {
    const act = fc.record({
      who: fc.constantFrom(0, 1),
      what: fc.constantFrom('add', 'change', 'change', 'change', 'copy', 'undo', 'wait'),
      which: fc.nat(5),
    })
    let conflicts = 0
    await fc.assert(
      fc.asyncProperty(
        fc.array(act, { minLength: 3, maxLength: 25 }),
        fc.infiniteStream(fc.nat(3)),
        async (acts, slow) => {
          const pause = async () => {
            for (let n = slow.next().value as number; n > 0; n--)
              await new Promise((done) => setImmediate(done))
          }
          const shelf = memoryShelf(pause)
          const both = wires(2).map((wire) => tab(shelf, wire))
          /** Notes that the last act of some tab left on a curve of its own list. */
          let count = 0
          addCurves(both[0]!.store, [curve('x'), curve('y')])
          await calm(...both)
          const lasting = new Set<string>()
          for (const { who, what, which } of acts) {
            const { store } = both[who]!
            const { measured } = store.getState()
            const target = measured[which % Math.max(1, measured.length)]
            if (what === 'add') addCurves(store, [curve(`c${++count}`, `new ${count}`)])
            else if (what === 'change' && target) {
              const note = `change ${++count}`
              changeMeta(store, target.id, { note })
              lasting.add(note)
              for (const before of [target.meta.note ?? '']) lasting.delete(before)
            } else if (what === 'copy' && target) duplicateCurve(store, target.id)
            else if (what === 'undo') {
              const before = new Set(store.getState().measured.map(({ meta }) => meta.note))
              undo(store)
              const after = new Set(store.getState().measured.map(({ meta }) => meta.note))
              for (const note of before) if (!after.has(note)) lasting.delete(note ?? '')
            } else if (what === 'wait') await calm(...both)
          }
          await calm(...both, ...both)
          const [a, b] = both.map(({ store }) =>
            store.getState().measured.toSorted((p, q) => (p.id < q.id ? -1 : 1)),
          )
          expect(a).toEqual(b)
          const present = new Set(a!.map(({ meta }) => meta.note))
          for (const note of lasting) expect([...present]).toContain(note)
          if (both.some(({ said }) => /two tabs/.test(said()))) conflicts++
        },
      ),
      { numRuns: 60, seed: 11 },
    )
    expect(conflicts).toBeGreaterThan(3)
  })
})

describe('a browser that does not keep', () => {
  it('refuses: said once there is something to lose, the page goes on', async () => {
    const one = tab(new DOMException('denied', 'SecurityError'))
    await calm(one)
    expect(one.said()).toBe('')
    addCurves(one.store, [curve('a')])
    await calm(one)
    expect(one.said()).toMatch(/not kept in this browser: it does not let the page.*Save them to a file/s)
    expect(one.store.getState().keeping).toMatchObject({ state: 'failed' })
    addCurves(one.store, [curve('b')])
    undo(one.store)
    await calm(one)
    expect([one.names(), one.store.getState().messages.length, one.keeper.behind]).toEqual([['a'], 1, true])
  })

  it('is full: nothing is lost here or there, and the next change is tried again', async () => {
    const shelf = memoryShelf()
    const one = tab(shelf)
    addCurves(one.store, [curve('a')])
    await calm(one)
    shelf.broken = new DOMException('full', 'QuotaExceededError')
    addCurves(one.store, [curve('b')])
    await calm(one)
    expect(one.said()).toMatch(/its store is full/)
    expect([one.names(), [...shelf.records.keys()]]).toEqual([['a', 'b'], ['a']])
    shelf.broken = null
    changeMeta(one.store, 'a', { note: 'more' })
    await calm(one)
    expect([[...shelf.records.keys()], one.keeper.behind, one.store.getState().keeping.state]).toEqual([
      ['a', 'b'],
      false,
      'kept',
    ])
  })

  it('was cleared while the page was open: everything is written again', async () => {
    const shelf = memoryShelf()
    const one = tab(shelf)
    addCurves(one.store, [curve('a')])
    await calm(one)
    shelf.records.clear()
    one.keeper.refresh()
    await calm(one)
    expect([one.names(), [...shelf.records.keys()]]).toEqual([['a'], ['a']])
  })

  const spoiled: [string, (kept: Kept) => unknown, RegExp][] = [
    ['no numbers', (kept) => ({ ...kept, curve: { ...kept.curve, time: 'soon' } }), /time is "soon"/],
    [
      'fewer radii',
      (kept) => ({ ...kept, curve: { ...kept.curve, radius: Float64Array.of(1) } }),
      /3 times, 1 radii/,
    ],
    [
      'no finite radius',
      (kept) => ({ ...kept, curve: { ...kept.curve, radius: Float64Array.of(0, 1, Infinity) } }),
      /radius is Infinity/,
    ],
    [
      'times that fall',
      (kept) => ({ ...kept, curve: { ...kept.curve, time: Float64Array.of(0, 2, 1) } }),
      /does not come after/,
    ],
    ['no counters', (kept) => ({ ...kept, revision: 'one' }), /counters are missing/],
    ['no curve', (kept) => ({ ...kept, curve: null }), /A curve is a group/],
  ]
  it.each(spoiled)(
    'holds a spoiled record (%s): said, left there, the others come',
    async (_, spoil, words) => {
      const shelf = memoryShelf()
      const good = { revision: 1, stamp: '1-x', removed: 0 }
      const bad = spoil({ ...good, id: 'bad', curve: curve('bad') })
      shelf.records.set('bad', bad)
      shelf.records.set('fine', { ...good, id: 'fine', curve: curve('fine') })
      const one = tab(shelf)
      await calm(one)
      expect(one.names()).toEqual(['fine'])
      expect(one.said()).toMatch(words)
      expect(shelf.records.get('bad')).toEqual(bad)
    },
  )

  it('cannot be read at the start: tried again, without making everything twice', async () => {
    const shelf: MemoryShelf = memoryShelf()
    const first = tab(shelf)
    addCurves(first.store, [curve('a', 'kept')])
    await calm(first)
    const { readAll } = shelf
    shelf.readAll = async () => {
      throw new DOMException('Internal error', 'UnknownError')
    }
    const second = tab(shelf)
    addCurves(second.store, [curve('b')])
    await calm(second)
    expect(second.said()).toMatch(/its store failed \(Internal error\)/)
    shelf.readAll = readAll
    second.keeper.save()
    await calm(second)
    expect(second.names().sort()).toEqual(['a', 'b'])
    expect([...shelf.records.keys()].sort()).toEqual(['a', 'b'])
  })

  it('has its reasons in words', () => {
    expect(reasonOf(new DOMException('x', 'VersionError'))).toMatch(/newer version/)
    expect(reasonOf('odd')).toMatch(/no reason given/)
  })
})
