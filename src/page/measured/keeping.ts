/**
 * Keeps the measured curves between visits: every change of the store is written at once, what other tabs wrote is
 * taken over, and nothing is overwritten unseen.
 */
import type { MeasuredCurve } from '../../measured/types.ts'
import { say } from '../actions.ts'
import type { Keeping, State, Store } from '../store.ts'
import { rebase } from './changes.ts'
import {
  type Change,
  emptied,
  type Kept,
  type KeptView,
  type Outcome,
  outdated,
  readKept,
  settle,
  written,
} from './merge.ts'
import type { Shelf, ShelfEvents } from './shelf.ts'

/** How tabs tell each other what they wrote. */
export interface Wire {
  post(ids: readonly string[]): void
  /** `react` gets what other tabs posted. */
  listen(react: (ids: readonly string[]) => void): void
  close(): void
}

export interface Surroundings {
  open(events: ShelfEvents): Promise<Shelf>
  wire: Wire
  /** Differs from tab to tab. */
  tab: string
  /** ms since 1970 */
  now(): number
  /** Offers to save what is not kept. */
  rescue?: { label: string; run(): void }
}

/** A curve as it is on the shelf and, unless it was changed since, in the store. */
interface Known {
  curve: MeasuredCurve | null
  stamp: string
}

export class Keeper {
  private readonly store: Store
  private readonly around: Surroundings
  private readonly known = new Map<string, Known>()
  private readonly removed = new Map<string, Kept>()
  private shelf: Shelf | null = null
  private view = ''
  private working: Promise<void> | null = null
  private told = ''
  private readonly unsubscribe: () => void

  constructor(store: Store, around: Surroundings) {
    this.store = store
    this.around = around
    around.wire.listen((ids) => void this.queue(() => this.takeOver(ids)))
    this.unsubscribe = store.subscribe((state, before) => {
      if (state.measured !== before.measured || state.hidden !== before.hidden) this.save()
    })
    this.save()
  }

  /** True while something of the store is not on the shelf. */
  get behind(): boolean {
    return this.changes().length > 0
  }

  /** Resolves when everything that can be written is written. */
  async rest(): Promise<void> {
    while (this.working) await this.working
  }

  /** Reads everything once more: what other tabs did while this one was asleep. */
  refresh(): void {
    void this.queue(() => this.takeOver(null))
  }

  /** Writes what has changed; opens the shelf if it is not open. */
  save(): void {
    void this.queue(() => this.writeAll())
  }

  /** Lets go of all removed curves for good. */
  emptyTrash(): void {
    void this.queue(async () => {
      const shelf = await this.opened()
      const full = [...this.removed.values()].filter((kept) => kept.curve)
      await shelf.change([], () => ({ put: full.map(emptied) }))
      for (const kept of full) this.removed.set(kept.id, emptied(kept))
      this.around.wire.post(full.map(({ id }) => id))
      this.showTrash()
    })
  }

  destroy(): void {
    this.unsubscribe()
    this.around.wire.close()
    this.shelf?.close()
  }

  /** One piece of work after the other; a failure is told and ends only that piece. */
  private queue(work: () => Promise<void>): Promise<void> {
    const run = (this.working ?? Promise.resolve()).then(work).then(
      () => this.succeed(),
      (error: unknown) => this.fail(reasonOf(error)),
    )
    const step = run.finally(() => {
      if (this.working === step) this.working = null
    })
    this.working = step
    return step
  }

  private async opened(): Promise<Shelf> {
    if (this.shelf) return this.shelf
    const events: ShelfEvents = {
      lost: (reason) => {
        this.shelf = null
        this.fail(reason)
      },
      waiting: (reason) => this.fail(reason),
    }
    const shelf = await this.around.open(events)
    try {
      await this.load(shelf)
    } catch (error) {
      shelf.close()
      throw error
    }
    this.shelf = shelf
    return shelf
  }

  private async load(shelf: Shelf): Promise<void> {
    const { records, unreadable, view } = await shelf.readAll()
    const { kept, broken } = sorted(records)
    for (const id of unreadable) broken.push(`${id} (the browser cannot read it)`)
    this.forgetMissing(kept, [...this.known.keys()])
    this.receive(kept)
    this.takeView(view)
    if (broken.length > 0) {
      const list = `${broken.slice(0, 3).join('; ')}${broken.length > 3 ? ` and ${broken.length - 3} more` : ''}`
      const text = `Of the measured curves kept in this browser ${broken.length === 1 ? 'one cannot' : `${broken.length} cannot`} be read: ${list}.`
      say(this.store, 'warning', text, 'The others are here; what cannot be read is left where it is.')
    }
    const { emptied, forgotten } = outdated(kept, this.around.now())
    if (emptied.length + forgotten.length > 0) {
      await shelf.change([], () => ({ put: emptied, forget: forgotten }))
      for (const one of emptied) this.removed.set(one.id, one)
      for (const id of forgotten) this.removed.delete(id)
      this.showTrash()
    }
  }

  /** What the store holds and the shelf does not. */
  private changes(): Change[] {
    const { measured } = this.store.getState()
    const changes: Change[] = []
    const here = new Set<string>()
    for (const curve of measured) {
      here.add(curve.id)
      const known = this.known.get(curve.id)
      if (known?.curve !== curve) changes.push({ id: curve.id, curve, base: known?.stamp })
    }
    for (const [id, { curve, stamp }] of this.known) {
      if (curve && !here.has(id)) changes.push({ id, curve: null, base: stamp })
    }
    return changes
  }

  private async writeAll(): Promise<void> {
    const state = this.store.getState()
    if (!this.shelf) {
      if (state.keeping.state !== 'failed') this.show({ state: 'opening', reason: '' })
      await this.opened()
    }
    for (;;) {
      const changes = this.changes()
      const view = viewOf(this.store.getState())
      const viewText = JSON.stringify(view)
      if (changes.length === 0 && viewText === this.view) return
      this.show({ state: 'saving', reason: '' })
      const outcomes = await this.write(changes, view)
      this.view = viewText
      this.takeOutcomes(changes, outcomes)
      if (changes.length > 0) this.around.wire.post(outcomes.flatMap(idsOf))
    }
  }

  private async write(changes: readonly Change[], view: KeptView): Promise<Outcome[]> {
    const shelf = await this.opened()
    let outcomes: Outcome[] = []
    await shelf.change(
      changes.map(({ id }) => id),
      (present) => {
        const there = new Map<string, Kept>()
        for (const record of present.values()) {
          const read = readKept(record)
          if (read.ok) there.set(read.kept.id, read.kept)
        }
        outcomes = changes.map((change) =>
          settle(change, there.get(change.id), this.around.tab, this.around.now()),
        )
        const put = outcomes.flatMap((outcome) => written(outcome, there.get(outcome.id)) ?? [])
        return { put, view }
      },
    )
    return outcomes
  }

  /** Notes what is on the shelf now, and brings what another tab did into the store. */
  private takeOutcomes(changes: readonly Change[], outcomes: readonly Outcome[]): void {
    outcomes.forEach((outcome, i) => {
      const own = changes[i]!
      if (outcome.kind === 'both') this.keepBoth(own, outcome)
      else if (outcome.kind === 'stays') {
        this.known.set(own.id, { curve: null, stamp: '' })
        this.receive([outcome.theirs])
        this.tell(
          `${nameOf(outcome.theirs)} was changed in another tab while it was removed here.`,
          'It stays.',
        )
      } else {
        this.note(outcome.kept, own.curve)
        if (outcome.kind === 'revived') {
          this.tell(`${own.curve!.name} was removed in another tab while it was changed here.`, 'It is kept.')
        }
      }
    })
    this.showTrash()
  }

  private keepBoth({ id, curve }: Change, { theirs, copy }: Outcome & { kind: 'both' }): void {
    this.note(theirs, theirs.curve)
    this.note(copy, copy.curve)
    const copyOf = (one: MeasuredCurve) =>
      one === curve ? copy.curve! : { ...one, id: copy.id, name: copy.curve!.name }
    const both = (one: MeasuredCurve) => [theirs.curve!, copyOf(one)]
    rebase(this.store, (curves) => curves.flatMap((one) => (one.id === id ? both(one) : [one])))
    this.tell(
      `${nameOf(theirs)} was changed in two tabs at once.`,
      `Both are kept; what was changed here is called “${copy.curve!.name}”.`,
    )
  }

  /** Remembers a record; `curve` is the store's object that it stands for. */
  private note(kept: Kept, curve: MeasuredCurve | null): void {
    this.known.set(kept.id, { curve: kept.removed ? null : curve, stamp: kept.stamp })
    if (kept.removed) this.removed.set(kept.id, kept)
    else this.removed.delete(kept.id)
  }

  private async takeOver(ids: readonly string[] | null): Promise<void> {
    const fresh = this.shelf === null
    const shelf = await this.opened()
    if (fresh) return
    const records = ids ? await shelf.read(ids) : (await shelf.readAll()).records
    const { kept } = sorted(records)
    this.forgetMissing(kept, ids ?? [...this.known.keys()])
    this.receive(kept)
    await this.writeAll()
  }

  /** What has vanished from the shelf altogether (the browser's data were cleared) is written again. */
  private forgetMissing(kept: readonly Kept[], ids: readonly string[]): void {
    const there = new Set(kept.map(({ id }) => id))
    for (const id of ids) if (!there.has(id)) this.known.delete(id)
  }

  /** Takes records over, except where the store holds a change that is not written yet: writing settles those. */
  private receive(kept: readonly Kept[]): void {
    const mine = new Map(this.store.getState().measured.map((curve) => [curve.id, curve]))
    const put = new Map<string, MeasuredCurve>()
    const fresh: MeasuredCurve[] = []
    const gone = new Set<string>()
    for (const one of kept) {
      const known = this.known.get(one.id)
      const here = mine.get(one.id)
      if (known?.stamp === one.stamp) continue
      if ((here ?? null) !== (known?.curve ?? null)) continue
      this.note(one, one.curve)
      if (one.removed || !one.curve) gone.add(one.id)
      else if (here) put.set(one.id, one.curve)
      else fresh.push(one.curve)
    }
    if (put.size + fresh.length + gone.size > 0) {
      const ids = new Set(fresh.map(({ id }) => id))
      rebase(this.store, (curves) => [
        ...curves.filter(({ id }) => !gone.has(id) && !ids.has(id)).map((one) => put.get(one.id) ?? one),
        ...fresh,
      ])
    }
    this.showTrash()
  }

  /** Order and hidden curves of the last visit, as far as the curves are there. */
  private takeView(view: unknown): void {
    const { order, hidden } = (view ?? {}) as Partial<Record<keyof KeptView, unknown>>
    const list = Array.isArray(order) ? order : []
    const place = new Map(list.map((id, i) => [id, i]))
    const at = (curve: MeasuredCurve) => place.get(curve.id) ?? list.length
    rebase(this.store, (curves) => curves.toSorted((a, b) => at(a) - at(b)))
    const ids = new Set(this.store.getState().measured.map(({ id }) => id))
    const before = this.store.getState().hidden
    const more = (Array.isArray(hidden) ? hidden : []).filter((id) => ids.has(id))
    if (more.length > 0) this.store.setState({ hidden: new Set([...before, ...more]) })
    this.view = JSON.stringify(viewOf(this.store.getState()))
  }

  private showTrash(): void {
    const trash = [...this.removed.values()]
      .flatMap(({ curve, removed }) => (curve ? [{ curve, removed }] : []))
      .sort((a, b) => b.removed - a.removed)
    const before = this.store.getState().trash
    const same = trash.length === before.length && trash.every(({ curve }, i) => curve === before[i]!.curve)
    if (!same) this.store.setState({ trash })
  }

  private show(keeping: Keeping): void {
    const before = this.store.getState().keeping
    if (before.state !== keeping.state || before.reason !== keeping.reason) this.store.setState({ keeping })
  }

  private succeed(): void {
    this.told = ''
    this.show({ state: 'kept', reason: '' })
  }

  private fail(reason: string): void {
    this.show({ state: 'failed', reason })
    if (this.told === reason || !this.behind) return
    this.told = reason
    say(
      this.store,
      'warning',
      `Measured curves are not kept in this browser: ${reason}.`,
      'They stay here until the page is closed. Save them to a file.',
      this.around.rescue,
    )
  }

  private tell(text: string, kept: string): void {
    say(this.store, 'warning', text, kept)
  }
}

const viewOf = ({ measured, hidden }: State): KeptView => ({
  order: measured.map(({ id }) => id),
  hidden: measured.filter(({ id }) => hidden.has(id)).map(({ id }) => id),
})

const idsOf = (outcome: Outcome): string[] =>
  outcome.kind === 'both' ? [outcome.id, outcome.copy.id] : [outcome.id]

const nameOf = ({ curve, id }: Kept): string => curve?.name ?? id

function sorted(records: readonly unknown[]): { kept: Kept[]; broken: string[] } {
  const kept: Kept[] = []
  const broken: string[] = []
  for (const record of records) {
    const read = readKept(record)
    if (read.ok) kept.push(read.kept)
    else broken.push(read.reason)
  }
  return { kept, broken }
}

/** A failure of the browser's store in words a user can act on. */
export function reasonOf(error: unknown): string {
  const name = error instanceof Error ? error.name : ''
  if (name === 'QuotaExceededError') return 'its store is full'
  if (name === 'SecurityError' || name === 'InvalidStateError' || name === 'NotSupportedError')
    return 'it does not let the page keep anything (a private window, or storage switched off)'
  if (name === 'VersionError') return 'a newer version of this page has been used here; load the newest one'
  const said = error instanceof Error && error.message ? error.message.replace(/\.$/, '') : 'no reason given'
  return `its store failed (${said})`
}
