/** Data of runs out of names: what a curve's name says by itself, and file names by a pattern. Shown before it is taken. */
import {
  type NamePattern,
  namePattern,
  PATTERN_FIELDS,
  readByPattern,
  stemOf,
} from '../../measured/namePattern.ts'
import { type Offer, offerOf } from '../../measured/nameReading.ts'
import { runFields, withChange } from '../../measured/runFields.ts'
import type { CurveMeta } from '../../measured/types.ts'
import { say } from '../actions.ts'
import { el, freshId, oncePerFrame } from '../dom.ts'
import { type Store, type View, watch } from '../store.ts'
import { changeMetas } from './changes.ts'
import { type Run, runsOf } from './queuedRuns.ts'

const fields = runFields({ alcohols: [], oils: [] })
const key = 'rimtide.name-pattern'
const example = '{date}_{strength}pct_{volume}uL_{run}'
/** Names shown before they are counted only. */
const mostShown = 60

/** "40 % by mass, ethanol, 10 µL" */
export function metaWords(meta: CurveMeta): string {
  return fields
    .flatMap((field) => {
      const text = field.show(meta)
      if (!text || field.id === 'fractionBasis') return []
      if (field.id === 'alcoholFraction') return [`${text} % by ${meta.fractionBasis ?? 'mass'}`]
      const named = ['relativeHumidity', 'startTime_s', 'group', 'depth_mm'].includes(field.id)
      return [`${named ? `${field.label.toLowerCase()} ` : ''}${text}${field.unit ? ` ${field.unit}` : ''}`]
    })
    .join(', ')
}

/** What is given and not stated yet; what is stated stays. */
const filling = (meta: CurveMeta, given: CurveMeta): CurveMeta => {
  const open = Object.entries(given).filter(([name]) => meta[name as keyof CurveMeta] === undefined)
  const fresh = Object.fromEntries(open) as CurveMeta
  // A basis belongs to its own strength.
  if (meta.alcoholFraction !== undefined) delete fresh.fractionBasis
  return fresh
}

/** A recording is named by its file, whose ending tells nothing. */
const asNamed = (run: Run): Run => (run.queued ? { ...run, name: stemOf(run.name) } : run)

const hasAny = (meta: CurveMeta): boolean => Object.keys(meta).length > 0

export interface NamesPart extends View {
  root: HTMLElement
}

export function createNamesPart(store: Store): NamesPart {
  const offers = el('div', { class: 'run-offers', hidden: true })
  const patternId = freshId('pattern')
  const pattern = el('input', {
    type: 'text',
    id: patternId,
    class: 'pattern',
    autocomplete: 'off',
    spellcheck: 'false',
    value: remembered(),
    oninput: () => preview(),
  })
  const over = el('input', { type: 'checkbox', onchange: () => preview() })
  const problem = el('p', { class: 'problem', role: 'status' })
  const given = el('div', {
    class: 'scrolling runs-scroll',
    tabindex: 0,
    role: 'region',
    'aria-label': 'What each name gives',
  })
  const take = el('button', { type: 'button', class: 'main', onclick: () => takeByPattern() })
  const details = el(
    'details',
    { class: 'run-names' },
    el('summary', {}, 'Fill from file names'),
    el('label', { for: patternId }, 'Pattern of the names'),
    pattern,
    el(
      'p',
      { class: 'note' },
      `Fields in braces: ${Object.entries(PATTERN_FIELDS)
        .map(([name, { label }]) => `{${name}} ${label}`)
        .join(
          '; ',
        )}. With {run} and no {group}, names that differ in the run (and the day) alone are repetitions of one group.`,
    ),
    el('label', { class: 'inline' }, over, ' Also where something else is stated'),
    problem,
    given,
    take,
  )
  details.addEventListener('toggle', () => preview())
  const root = el('div', { class: 'run-fill' }, offers, details)

  function drawOffers(): void {
    const made = runsOf(store.getState())
      .filter(({ planned }) => !planned)
      .map((run) => ({ run, offer: offerOf(asNamed(run)) }))
    const open = made.filter(({ offer }) => hasAny(offer.change))
    const against = made.filter(({ offer }) => offer.against)
    const bare = made.filter(
      ({ run, offer }) =>
        !run.queued && run.meta.alcoholFraction === undefined && !offer.change.alcoholFraction,
    )
    offers.hidden = open.length + against.length + bare.length === 0
    const said = ({ name }: Run, words: string) => `“${name}” says ${words}`
    const lines = [
      ...few(open.map(({ run, offer }) => `${said(run, metaWords(offer.change))}.`)),
      ...doubtWords(open),
      ...few(against.map(({ run, offer }) => `${said(run, offer.against)}; something else is stated.`)),
      ...(bare.length > 0 ? [bareWords(bare.map(({ run }) => run))] : []),
    ]
    const count = open.length === 1 ? 'the name says' : `${open.length} names say`
    offers.replaceChildren(
      el('ul', { class: 'note' }, ...lines.map((line) => el('li', {}, line))),
      ...(open.length > 0
        ? [
            el(
              'button',
              {
                type: 'button',
                onclick: () =>
                  changeMetas(
                    store,
                    new Map(open.map(({ run, offer }) => [run.id, withChange(run.meta, offer.change)])),
                  ),
              },
              `Take over what ${count}`,
            ),
          ]
        : []),
    )
  }

  const bareWords = (curves: readonly Run[]): string => {
    const first = curves.slice(0, 4).map(({ name }) => `“${name}”`)
    const rest = curves.length > 4 ? ` and ${curves.length - 4} more` : ''
    return `No strength is stated for ${first.join(', ')}${rest}: comparison and fit take that of the drop shown, the scaling leaves ${curves.length === 1 ? 'it' : 'them'} out.`
  }

  const present = (): NamePattern | null => {
    const result = namePattern(pattern.value)
    problem.textContent = result.ok || pattern.value.trim() === '' ? '' : result.message
    return result.ok ? result.pattern : null
  }

  /** What the names give by the present pattern. */
  function reads(made: NamePattern) {
    return runsOf(store.getState()).map((run) => {
      const byFile = readByPattern(made, run.file)
      const read = byFile.fits ? byFile : readByPattern(made, run.name)
      const fresh = over.checked ? read.meta : filling(run.meta, read.meta)
      return { run, read, name: byFile.fits && run.file ? stemOf(run.file) : run.name, fresh }
    })
  }

  function preview(): void {
    if (!details.open) return
    const made = present()
    const list = made ? reads(made) : []
    const fitting = list.filter(({ fresh }) => hasAny(fresh))
    take.disabled = fitting.length === 0
    take.textContent =
      fitting.length === 0
        ? 'Nothing to take over'
        : `Take over for ${fitting.length === 1 ? 'one run' : `${fitting.length} runs`}`
    given.hidden = made === null
    const row = ({ name, read, fresh }: (typeof list)[number]) => {
      const open = read.missing.map(({ field, why }) => `{${field}}: ${why}`).join('; ')
      const kept = hasAny(read.meta) && !hasAny(fresh) ? 'all of it is stated already' : ''
      const not = read.fits
        ? [open && `left empty: ${open}`, kept].filter(Boolean).join('; ')
        : 'the name does not have this pattern: left empty'
      return el(
        'tr',
        {},
        el('th', { scope: 'row' }, name),
        el('td', {}, metaWords(read.meta) || '–'),
        el('td', {}, not),
      )
    }
    const heads = ['Name', 'gives', 'does not give'].map((text) => el('th', { scope: 'col' }, text))
    given.replaceChildren(
      el(
        'table',
        { class: 'figures-table run-given' },
        el('thead', {}, el('tr', {}, ...heads)),
        el('tbody', {}, ...list.slice(0, mostShown).map(row)),
      ),
      ...(list.length > mostShown
        ? [el('p', { class: 'note' }, `and ${list.length - mostShown} more names.`)]
        : []),
    )
  }

  function takeByPattern(): void {
    const made = present()
    if (!made) return
    const taken = reads(made).filter(({ fresh }) => hasAny(fresh))
    changeMetas(store, new Map(taken.map(({ run, fresh }) => [run.id, withChange(run.meta, fresh)])))
    try {
      localStorage.setItem(key, pattern.value)
    } catch {
      // A refused storage only means that the pattern is typed again next time.
    }
    say(
      store,
      'note',
      `${taken.length === 1 ? 'One run has' : `${taken.length} runs have`} data from their names.`,
      'Undo takes them back.',
    )
  }

  const draw = oncePerFrame(() => {
    drawOffers()
    preview()
  })
  const unwatch = watch(
    store,
    ({ measured, queued, stated, keeping }) => [measured, queued, stated, keeping.state],
    draw,
  )
  return {
    root,
    destroy: unwatch,
  }
}

/** The first of many lines, and how many more there are. */
const few = (lines: readonly string[], most = 3): string[] =>
  lines.length <= most ? [...lines] : [...lines.slice(0, most - 1), `… and ${lines.length - most + 1} more.`]

/** Doubts of several names, each once. */
function doubtWords(open: readonly { run: Run; offer: Offer }[]): string[] {
  const doubts = new Map<string, string[]>()
  for (const { run, offer } of open)
    if (offer.doubt) doubts.set(offer.doubt, [...(doubts.get(offer.doubt) ?? []), run.name])
  return [...doubts].map(([doubt, names]) =>
    names.length === 1 ? `“${names[0]}”: ${doubt}.` : `Of ${names.length} names: ${doubt}.`,
  )
}

function remembered(): string {
  try {
    return localStorage.getItem(key) ?? example
  } catch {
    return example
  }
}
