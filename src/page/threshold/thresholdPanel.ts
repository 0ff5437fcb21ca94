/** Threshold: from which strength on this pair spreads on this oil, on what the answer rests. */

import { keyOf } from '../../life/keys.ts'
import { offNotice } from '../../life/mechanisms.ts'
import { problemOf } from '../../life/problemOf.ts'
import type { LiquidFacts, Preset } from '../../life/types.ts'
import { outsideWords } from '../../liquids/range.ts'
import type { SourceNote } from '../../liquids/types.ts'
import { type Reach, tensionReach } from '../../plan/neighbours.ts'
import { percentOf, thresholdOf } from '../../plan/threshold.ts'
import { tensionWords } from '../../plan/thresholdReport.ts'
import { changeKey } from '../controls/change.ts'
import { revealControl } from '../controls/controls.ts'
import { sourcesOf } from '../controls/help.ts'
import { el, oncePerFrame } from '../dom.ts'
import { plain, withError } from '../format.ts'
import { followNearness } from '../near.ts'
import { keyParts } from '../plots/cursorKeys.ts'
import { Figure, plotColours, type Saved } from '../plots/figure.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { percents, reachWords } from '../sentence/reason.ts'
import { type State, type Store, type View, watch } from '../store.ts'
import { along, assumedLaw, spreadingPanel, tensionsPanel } from './thresholdPlot.ts'

const right = 78

/** Facts of the shown life; it is that of an earlier drop for a moment (greyed). */
const factsOf = ({ preset, life }: State): LiquidFacts => life?.facts ?? problemOf(preset).facts

const presetOf = ({ preset, life }: State): Preset => life?.preset ?? preset

const reachIn = ({ neighbours }: State): Reach | null =>
  neighbours.threshold ?? neighbours.band?.reach.threshold ?? null

/** The threshold in figures: by mass and by volume, with its reach once that is known. */
function figures(preset: Preset, massFraction: number, reach: Reach | null): string {
  if (Number.isNaN(massFraction)) return ''
  const half = reach ? (100 * (reach.high - reach.low)) / 2 : Number.NaN
  const mass = withError(100 * massFraction, half, '%')
  if (preset.drop.alcohol === 'reference') return `Threshold: ${mass} by volume`
  const [low, high] = [reach?.low ?? Number.NaN, reach?.high ?? Number.NaN].map((w) =>
    plain(percentOf(preset, w)),
  )
  const range = reach ? ` (${low} to ${high} %)` : ''
  return `Threshold: ${mass} by mass, or ${plain(percentOf(preset, massFraction))} % by volume at 20 °C${range}`
}

function sourceTable(facts: LiquidFacts, preset: Preset): HTMLElement {
  const outside = (celsius: SourceNote['celsius']) =>
    celsius ? outsideWords({ celsius }, preset.air.temperature_C) : ''
  const heads = ['Quantity', 'Source', 'Range', 'Quality']
  // The drop/oil curve belongs to no liquid; its note comes with the keys of its three numbers.
  const notes = [...facts.sources, ...sourcesOf('interface.decay', facts.sources)]
  const unique = notes.filter((note, i) => notes.indexOf(note) === i)
  return el(
    'details',
    {},
    el('summary', {}, `Where the numbers come from (${unique.length})`),
    el(
      'div',
      { class: 'scrolling', tabindex: 0, role: 'region', 'aria-label': 'Sources' },
      el(
        'table',
        { class: 'figures-table sources' },
        el('thead', {}, el('tr', {}, ...heads.map((text) => el('th', { scope: 'col' }, text)))),
        el(
          'tbody',
          {},
          ...unique.map(({ quantity, source, range, quality, celsius }) =>
            el(
              'tr',
              {},
              el('th', { scope: 'row' }, quantity),
              ...[source, outside(celsius) ? `${range}; ${outside(celsius)}` : range, quality].map((t) =>
                el('td', {}, t),
              ),
            ),
          ),
        ),
      ),
    ),
  )
}

/** The three numbers of the assumed curve, each a way to its control. */
function assumedNumbers(facts: LiquidFacts): HTMLElement {
  const { water, end, decay } = assumedLaw(facts)
  const values: [string, string][] = [
    ['interface.water_mNperM', `${plain(1e3 * water)} mN/m`],
    ['interface.end_mNperM', `${plain(1e3 * end, 2)} mN/m`],
    ['interface.decay', Number.isNaN(decay) ? 'k of any value' : `k = ${plain(decay, 2)}`],
  ]
  return el(
    'p',
    {},
    'The tension between drop and oil is assumed, and is the least certain number of all. At the strength w (by mass) it is end + (water − end)·exp(−k·w), with ',
    ...values.flatMap(([path, text], i) => [
      ...(i > 0 ? [', '] : []),
      el(
        'button',
        { type: 'button', class: 'inline-link', onclick: () => revealControl(path) },
        `${keyOf(path)?.label.replace('Drop/oil tension, ', '') ?? path} ${text}`,
      ),
    ]),
    Number.isNaN(decay)
      ? '. Water and end value are equal here: the tension is the same at every strength, and k plays no part. Click a value to change it.'
      : '. Click a value to change it.',
  )
}

export function createThreshold(root: HTMLElement, store: Store): View {
  const words = el('p', { class: 'lead' })
  const exact = el('p', { class: 'note' })
  const rest = el('div', { class: 'result' })
  const take = el('button', { type: 'button' }, 'Give the drop this strength')
  const holder = el('div', { class: 'plot-holder threshold-plots' })
  let cursor = Number.NaN
  let open = false
  const ask = oncePerFrame(draw)
  const figure = new Figure(holder, {
    label: 'Strength along the curves',
    right,
    top: 17,
    leastHeight: 90,
    saved,
    point: (percent) => moveTo(percent / 100),
    resized: ask,
  })
  figure.area.addEventListener('keydown', (event) => {
    const by = keyParts[event.key]
    if (by === undefined || event.ctrlKey || event.metaKey || event.altKey) return
    event.preventDefault()
    moveTo(at() + by)
  })
  take.addEventListener('click', () => {
    changeKey(store, 'drop.alcoholMassFraction', Number(at().toFixed(3)))
  })
  root.append(
    el('h2', { id: 'threshold-title', tabindex: -1 }, 'Threshold'),
    words,
    exact,
    holder,
    el('div', { class: 'buttons' }, take),
    rest,
  )

  /** Strength at the cursor; that of the drop until somebody moves it. */
  const at = () => (Number.isNaN(cursor) ? store.getState().preset.drop.alcoholMassFraction : cursor)

  function moveTo(strength: number): void {
    cursor = Math.min(Math.max(strength, 0), 1)
    showCursor(factsOf(store.getState()))
  }

  function panels(state: State, dark: boolean, ink: string, life: string) {
    const facts = factsOf(state)
    const colours = { dark, ink, life }
    const threshold = thresholdOf(presetOf(state), facts)
    return [
      spreadingPanel(presetOf(state), threshold, reachIn(state), colours),
      tensionsPanel(presetOf(state), facts, colours),
    ]
  }

  function showCursor(facts: LiquidFacts): void {
    const { w, S, gammaA, gammaI } = facts.curve
    const [s, a, i] = [S, gammaA, gammaI].map((curve) => plain(1e3 * along(w, curve, at())))
    const place = `at ${plain(100 * at())} %`
    figure.setCursor(100 * at(), { spreading: `${place}: S ${s} mN/m`, tensions: `γa ${a}, γi ${i} mN/m` })
    figure.setWords(0, 100, 100 * at(), `${place}: S ${s}, drop against air ${a}, drop against oil ${i} mN/m`)
    take.disabled = Math.abs(at() - store.getState().preset.drop.alcoholMassFraction) < 5e-4
  }

  function draw(): void {
    const state = store.getState()
    if (!nearness.near) return
    const facts = factsOf(state)
    const threshold = thresholdOf(presetOf(state), facts)
    const reach = reachIn(state)
    words.textContent = threshold.words
    exact.textContent = `${figures(presetOf(state), threshold.massFraction, reach)}${reach ? `. ${reachWords('It', reach, percents, presetOf(state))}` : ''}`
    const colours = plotColours(state.dark)
    figure.update(panels(state, state.dark, colours.ink, colours.life), colours, state.stale)
    open = rest.querySelector('details')?.open ?? open
    const { band } = state.neighbours
    const radius = band ? tensionWords(tensionReach(band)) : ''
    rest.replaceChildren(
      assumedNumbers(facts),
      ...(radius ? [el('p', {}, radius)] : []),
      sourceTable(facts, presetOf(state)),
    )
    rest.querySelector('details')!.open = open
    showCursor(facts)
  }

  function saved(): Saved {
    const state = store.getState()
    const { title } = state.preset
    return {
      panels: panels(state, false, paperColours.ink, paperColours.life),
      title: 'From which strength on the drop spreads',
      subtitle: title,
      notice: offNotice(state.preset),
      name: `threshold ${title}`,
    }
  }

  const nearness = followNearness(root, ask)
  const unwatch = watch(
    store,
    ({ preset, life, stale, neighbours, dark }) => [preset, life, stale, neighbours, dark],
    ask,
  )
  return {
    destroy() {
      unwatch()
      nearness.destroy()
      figure.destroy()
      root.replaceChildren()
    },
  }
}
