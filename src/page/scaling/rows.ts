/** Lives run for the scaling: the present drop at several strengths, and a life for each measured curve. */
import type { Preset } from '../../life/types.ts'
import { dropName } from '../../measured/fit/ownDrop.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { atStrengths, evenStrengths, type Wanted } from '../../plan/family.ts'
import { presetOfCurve, type ScalingItem } from '../../plan/scalingItem.ts'
import { el, keepFocus } from '../dom.ts'
import { numberField } from '../fields.ts'
import { brokeOff } from '../lives/alive.ts'
import { withoutInput } from '../lives/neighbours.ts'
import { askedClient, type PlanJob } from '../lives/planClient.ts'
import type { State, Store } from '../store.ts'
import { besideId, type Rows } from './series.ts'

type Kind = keyof Rows

/** What the lives of a kind depend on; two states with equal words give the same lives. */
const basisOf: Record<Kind, (state: State) => string> = {
  strengths: ({ preset }) => withoutInput(preset, 'drop.alcoholMassFraction'),
  beside: ({ preset, measured }) =>
    JSON.stringify([
      withoutInput(preset, 'drop.alcoholMassFraction'),
      measured.map((curve) => {
        const made = presetOfCurve(curve, preset)
        return [curve.id, made.ok ? dropName(made.preset) : '']
      }),
    ]),
}

const plural = (n: number): string => (n === 1 ? '1 life' : `${n} lives`)

export interface RowsForm {
  root: HTMLElement
  readonly rows: Rows
  /** Renews the words on what the lives belong to. */
  follow(): void
  destroy(): void
}

export function createRows(store: Store, changed: () => void): RowsForm {
  const rows: Record<Kind, readonly ScalingItem[]> = { strengths: [], beside: [] }
  const madeFor: Record<Kind, string> = { strengths: '', beside: '' }
  let wish = { from: 0.4, to: 0.8, count: 9 }
  let job: PlanJob<'family'> | null = null
  const field = (label: string, unit: string, set: (value: number) => void) =>
    numberField({ label, unit, set })
  const from = field('Alcohol from', '% by mass', (value) => {
    wish = { ...wish, from: value / 100 }
  })
  const to = field('to', '% by mass', (value) => {
    wish = { ...wish, to: value / 100 }
  })
  const count = field('lives', '', (value) => {
    wish = { ...wish, count: value }
  })
  from.show(100 * wish.from)
  to.show(100 * wish.to)
  count.show(wish.count)
  const begin = el('button', { type: 'button' }, 'Run the present drop at these strengths')
  const besides = el('button', { type: 'button' }, 'Run a life for each measured series')
  const stop = el('button', { type: 'button', hidden: true }, 'Stop')
  const bar = el('progress', { max: 1, value: 0, hidden: true, 'aria-label': 'Lives run for the scaling' })
  const says = el('p', { class: 'note', role: 'status' })
  const old = el('p', { class: 'note' })

  function strengthsWanted(preset: Preset): Wanted[] {
    const even = evenStrengths(wish.from, wish.to, wish.count)
    const at = (where: string) =>
      even.ok ? '' : (even.problems.find((problem) => problem.where === where)?.message ?? '')
    from.complain(at('from'))
    to.complain(at('to'))
    count.complain(at('count'))
    if (!even.ok) return []
    const made = atStrengths(preset, even.strengths)
    if (!made.ok) from.complain(made.problems.map(({ message }) => message).join(' '))
    return made.ok ? made.wanted : []
  }

  /** The drops of measured curves, each once however many curves are of it; curves whose drop is not known are told. */
  function besideWanted({ preset, measured }: State): { wanted: Wanted[]; without: string[] } {
    const without: string[] = []
    const drops = new Map<string, { first: MeasuredCurve; preset: Preset; count: number }>()
    for (const curve of measured) {
      const made = presetOfCurve(curve, preset)
      if (!made.ok) {
        without.push(`${curve.name}: ${made.problems.map(({ message }) => message).join(' ')}`)
        continue
      }
      const drop = dropName(made.preset)
      const known = drops.get(drop)
      if (known) known.count++
      else drops.set(drop, { first: curve, preset: made.preset, count: 1 })
    }
    const wanted = [...drops.values()].map(({ first, preset: own, count }): Wanted => {
      const name = count > 1 ? `${first.name} and ${count - 1} more` : first.name
      return { id: besideId(first), name: `${name}, life`, preset: own, inRow: false }
    })
    return { wanted, without }
  }

  /** `by`: the button that the lives are run by; it has the focus again when they are done. */
  function working(on: boolean, by: HTMLButtonElement): void {
    const change = () => {
      stop.hidden = !on
      begin.disabled = on
      besides.disabled = on
      bar.hidden = !on
      bar.value = 0
    }
    keepFocus([begin, besides, stop], change, () => (on ? stop : by))
  }

  async function run(kind: Kind, wanted: Wanted[], without: string[] = []): Promise<void> {
    const told = without.length > 0 ? ` No life for ${without.join('; ')}.` : ''
    says.textContent = told.trim()
    if (wanted.length === 0) return
    const of = basisOf[kind](store.getState())
    const by = kind === 'strengths' ? begin : besides
    working(true, by)
    job = askedClient().start('family', { wanted }, ({ done, total }) => {
      bar.value = done / total
    })
    try {
      const { items, failures, status } = await job.result
      rows[kind] = items
      madeFor[kind] = of
      const failed = failures.map(({ name, reason }) => ` No life for ${name}: ${reason}.`).join('')
      const done =
        status === 'stopped' ? `Stopped after ${plural(items.length)}.` : `${plural(items.length)} run.`
      says.textContent = `${done}${failed}${told}`
    } catch (error) {
      says.textContent = brokeOff(error)
    }
    job = null
    working(false, by)
    follow()
    changed()
  }

  function follow(): void {
    const state = store.getState()
    const stale = (kind: Kind) => rows[kind].length > 0 && madeFor[kind] !== basisOf[kind](state)
    besides.hidden = state.measured.length === 0
    old.textContent = [
      stale('strengths') ? 'The lives of the row of strengths are of an earlier drop.' : '',
      stale('beside')
        ? 'The lives beside the measured series are of an earlier drop or of earlier series.'
        : '',
    ]
      .filter(Boolean)
      .join(' ')
  }

  begin.addEventListener('click', () => void run('strengths', strengthsWanted(store.getState().preset)))
  besides.addEventListener('click', () => {
    const { wanted, without } = besideWanted(store.getState())
    void run('beside', wanted, without)
  })
  stop.addEventListener('click', () => job?.stop())
  const root = el(
    'div',
    { class: 'scaling-rows' },
    el('div', { class: 'form' }, from.root, to.root, count.root),
    el('div', { class: 'buttons' }, begin, besides, stop, bar),
    says,
    old,
  )
  return { root, rows, follow, destroy: () => job?.stop() }
}
