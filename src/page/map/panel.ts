/** Map: what becomes of the drop over two inputs; a point that is chosen becomes the drop. */
import { KEYS, type NumberKey } from '../../life/keys.ts'
import { setKeys } from '../../life/preset.ts'
import type { MapAxis, MapWish, OutcomeMap, PointState } from '../../plan/outcomeMap.ts'
import { keyValue, setPreset } from '../actions.ts'
import { scaleOf } from '../controls/scale.ts'
import { outcomeLetter, outcomeWord } from '../controls/track.ts'
import { el, keepFocus, oncePerFrame, svg } from '../dom.ts'
import { type Field, numberField } from '../fields.ts'
import { brokeOff } from '../lives/alive.ts'
import { askedClient, type PlanJob } from '../lives/planClient.ts'
import { followNearness } from '../near.ts'
import { fileName, savingMenu } from '../plots/saving.ts'
import { partsChanged } from '../report/parts.ts'
import { gradientOf } from '../stage/legend.ts'
import { type Store, type View, watch } from '../store.ts'
import { palette } from '../theme.ts'
import { cellAt, drawMap, frameFor, type MapFrame, type MapLook } from './drawing.ts'
import {
  axisFor,
  type MapColour,
  mapCsv,
  pointWords,
  scaleTable,
  swatchColour,
  topOf,
  withoutInputs,
} from './model.ts'
import { offerMapPart } from './reportPart.ts'

const numbers = KEYS.filter((key): key is NumberKey => key.kind === 'number' && key.fallback !== null)
const sizes: readonly [string, number, number][] = [
  ['coarse (13 × 9)', 13, 9],
  ['normal (25 × 17)', 25, 17],
  ['fine (49 × 33)', 49, 33],
]

/** Choice of an axis: the input and its range, in the unit shown beside its control. */
function axisFields(name: string, path: string, changed: () => void) {
  const select = el('select', { 'aria-label': `${name}: input` })
  for (const key of numbers) select.add(new Option(key.label, key.path))
  select.value = path
  let axis: MapAxis = axisFor(path, 2)
  const factor = () => scaleOf(numbers.find((key) => key.path === axis.key)!).factor
  const set = (end: 'from' | 'to') => (value: number) => {
    axis = { ...axis, [end]: Number((value / factor()).toPrecision(12)) }
    changed()
  }
  const from = numberField({ label: 'from', set: set('from') })
  const to = numberField({ label: 'to', set: set('to') })
  const show = () => {
    from.show(axis.from * factor())
    to.show(axis.to * factor())
  }
  select.addEventListener('change', () => {
    axis = axisFor(select.value, 2)
    show()
    changed()
  })
  show()
  const fields: Field[] = [from, to]
  return {
    root: el('div', { class: 'axis-choice' }, el('label', {}, name, select), from.root, to.root),
    fields,
    axis: (count: number): MapAxis => ({ ...axis, count }),
  }
}

const legendOrder: readonly PointState[] = [
  'lens',
  'spreads',
  'recedes',
  'sheds',
  'dries',
  'reaches-wall',
  'failed',
]

export function createMap(root: HTMLElement, store: Store): View {
  const x = axisFields('Across', 'drop.alcoholMassFraction', follow)
  const y = axisFields('Up', 'drop.volume_uL', follow)
  const size = el('select', { 'aria-label': 'Fineness', onchange: () => follow() })
  sizes.forEach(([text], i) => {
    size.add(new Option(text, String(i)))
  })
  size.value = '1'
  const colourBy = el('select', { 'aria-label': 'Colour the map by', onchange: () => ask() })
  for (const [value, text] of [
    ['outcome', 'Outcome'],
    ['maxRadius', 'Largest radius'],
    ['life', 'Time of collapse'],
  ]) {
    colourBy.add(new Option(text, value))
  }
  const begin = el('button', { type: 'button', class: 'main' }, 'Work out the map')
  const stop = el('button', { type: 'button', hidden: true }, 'Stop')
  const bar = el('progress', { max: 1, value: 0, hidden: true, 'aria-label': 'Lives run for the map' })
  const says = el('p', { class: 'note', role: 'status' })
  const picture = svg('svg', { 'aria-hidden': 'true', 'font-family': 'system-ui, sans-serif' })
  const area = el('div', { class: 'map-area', tabindex: 0, role: 'application', hidden: true })
  area.setAttribute('aria-label', 'Outcome map. Arrow keys move, Enter takes the drop of a point.')
  area.append(picture)
  const pointed = el('p', { class: 'pointed', 'aria-live': 'polite' })
  const legend = el('div', { class: 'map-legend' })
  let map: OutcomeMap | null = null
  let frame: MapFrame | null = null
  let wish: MapWish | null = null
  let madeFor = ''
  let cursor: { i: number; j: number } | null = null
  let job: PlanJob<'map'> | null = null
  const ask = oncePerFrame(draw)

  const endPart = offerMapPart(store, () =>
    map && wish ? { map, wish, madeFor, by: colourBy.value as MapColour } : null,
  )
  const menu = savingMenu(
    {
      name: () => fileName('rimtide-map', store.getState().preset.title),
      csv: () => (map ? mapCsv(map) : ''),
      svg: () => new XMLSerializer().serializeToString(picture),
    },
    'Outcome map',
  )
  const holder = el('div', { class: 'plot-holder map-holder', hidden: true }, menu, area)
  root.append(
    el('h2', { id: 'map-title', tabindex: -1 }, 'Map'),
    el(
      'p',
      {},
      'What becomes of the present drop when two of its inputs change. Each point is a whole life, run with the quick mesh.',
    ),
    el(
      'div',
      { class: 'form' },
      x.root,
      y.root,
      el('label', {}, 'Points', size),
      el('label', {}, 'Colour', colourBy),
    ),
    el('div', { class: 'buttons' }, begin, stop, bar),
    says,
    legend,
    holder,
    pointed,
  )

  function wished(): MapWish {
    const [, nx, ny] = sizes[Number(size.value)]!
    return { x: x.axis(nx), y: y.axis(ny) }
  }

  async function work(): Promise<void> {
    const { preset } = store.getState()
    const mine = wished()
    for (const field of [...x.fields, ...y.fields]) field.complain('')
    working(true)
    says.textContent = ''
    job = askedClient().start('map', { preset, wish: mine }, (so) =>
      take(so, mine, withoutInputs(preset, mine)),
    )
    try {
      const answer = await job.result
      if (answer.ok) take(answer.map, mine, withoutInputs(preset, mine))
      else {
        for (const { where, message } of answer.problems) (where === 'x' ? x : y).fields[0]!.complain(message)
      }
      if (answer.ok && answer.map.status === 'stopped')
        says.textContent = `Stopped after ${answer.map.done} of ${answer.map.total} lives.`
    } catch (error) {
      says.textContent = brokeOff(error)
    }
    job = null
    working(false)
    follow()
  }

  function working(on: boolean): void {
    const change = () => {
      begin.hidden = on
      stop.hidden = !on
    }
    keepFocus([begin, stop], change, () => (on ? stop : begin))
    bar.hidden = !on
  }

  function take(so: OutcomeMap, of: MapWish, fingerprint: string): void {
    map = so
    wish = of
    madeFor = fingerprint
    bar.value = so.done / so.total
    holder.hidden = false
    area.hidden = false
    partsChanged()
    ask()
  }

  /** Says when the map is not of the present drop or of the chosen axes. */
  function follow(): void {
    ask()
    if (!map || !wish || job) return
    const { preset } = store.getState()
    const otherDrop = madeFor !== withoutInputs(preset, wish)
    const otherAxes = JSON.stringify(wished()) !== JSON.stringify(wish)
    begin.textContent = otherDrop || otherAxes ? 'Work it out anew' : 'Work it out again'
    begin.classList.toggle('main', otherDrop || otherAxes)
    holder.classList.toggle('old', otherDrop)
    if (otherDrop) says.textContent = 'This map is of an earlier drop.'
    else if (says.textContent?.startsWith('This map is of')) says.textContent = ''
  }

  function draw(): void {
    if (!map || !wish || !nearness.near) return
    const { width, height } = area.getBoundingClientRect()
    if (width < 60 || height < 60) return
    frame = frameFor(map, width, height)
    const colours = palette()
    const by = colourBy.value as MapColour
    const look: MapLook = {
      by,
      ink: colours.ink,
      faint: colours.faint,
      paper: colours.panel,
      accent: colours.accent,
    }
    const { preset } = store.getState()
    picture.setAttribute('viewBox', `0 0 ${width} ${height}`)
    picture.replaceChildren(
      ...drawMap(map, frame, look, {
        x: keyValue(preset, wish.x.key) as number,
        y: keyValue(preset, wish.y.key) as number,
        cursor,
      }),
    )
    fillLegend(map, by, colours.panel)
    pointed.textContent = cursor
      ? `${pointWords(map, cursor.i, cursor.j)}. Click or Enter takes this drop.`
      : 'The ring marks the present drop. Point at the map, or move with the arrow keys.'
  }

  function fillLegend(of: OutcomeMap, by: MapColour, paper: string): void {
    const met = legendOrder.filter((outcome) => of.outcome.includes(outcome))
    const top = topOf(of, by)
    const letters = met.map((outcome) => {
      const swatch = el('span', { class: 'letter' }, outcomeLetter[outcome])
      if (by === 'outcome') swatch.style.background = swatchColour(outcome, paper)
      return el('span', { class: 'entry' }, swatch, outcomeWord[outcome])
    })
    const scale = el('span', { class: 'scale-bar' })
    scale.style.background = gradientOf(scaleTable)
    const unit = by === 'maxRadius' ? `${1e3 * top} mm` : `${top} s`
    const bars =
      by === 'outcome' || Number.isNaN(top) ? [] : [el('span', { class: 'entry' }, '0', scale, unit)]
    legend.replaceChildren(...letters, ...bars)
  }

  function choose(): void {
    if (!map || !wish || !cursor) return
    const result = setKeys(store.getState().preset, [
      [wish.x.key, Number(map.x[cursor.i]!.toPrecision(4))],
      [wish.y.key, Number(map.y[cursor.j]!.toPrecision(4))],
    ])
    if (result.ok) {
      setPreset(store, result.preset)
      says.textContent = 'This point is the drop now. Undo brings the last one back.'
    } else says.textContent = result.problems.map(({ message }) => message).join(' ')
  }

  const moves: Record<string, [number, number]> = {
    ArrowRight: [1, 0],
    ArrowLeft: [-1, 0],
    ArrowUp: [0, 1],
    ArrowDown: [0, -1],
    PageUp: [0, 4],
    PageDown: [0, -4],
    Home: [-100, 0],
    End: [100, 0],
  }
  area.addEventListener('keydown', (event) => {
    if (!map || event.ctrlKey || event.metaKey || event.altKey) return
    const by = moves[event.key]
    if (event.key === 'Enter' || event.key === ' ') choose()
    else if (by) {
      const from = cursor ?? { i: map.x.length >> 1, j: map.y.length >> 1 }
      cursor = {
        i: Math.min(Math.max(from.i + by[0], 0), map.x.length - 1),
        j: Math.min(Math.max(from.j + by[1], 0), map.y.length - 1),
      }
      ask()
    } else return
    event.preventDefault()
  })
  const point = (event: MouseEvent) => {
    if (!map || !frame) return null
    const box = area.getBoundingClientRect()
    return cellAt(map, frame, event.clientX - box.left, event.clientY - box.top)
  }
  area.addEventListener('pointermove', (event) => {
    const cell = point(event)
    if (!cell || (cell.i === cursor?.i && cell.j === cursor.j)) return
    cursor = cell
    ask()
  })
  area.addEventListener('click', (event) => {
    cursor = point(event) ?? cursor
    if (point(event)) choose()
    ask()
  })
  begin.addEventListener('click', () => void work())
  stop.addEventListener('click', () => job?.stop())
  const nearness = followNearness(root, ask)
  const resized = new ResizeObserver(ask)
  resized.observe(area)
  const unwatch = watch(store, (state) => [state.preset, state.dark], follow)
  return {
    destroy() {
      unwatch()
      resized.disconnect()
      nearness.destroy()
      endPart()
      job?.stop()
      root.replaceChildren()
    },
  }
}
