/** The editor of one measured curve: what is known about the drop, colour, points. Every change is a step of undo. */
import { mixtures, oils } from '../../liquids/registry.ts'
import { linesOf } from '../../measured/importWords.ts'
import { metaProblem } from '../../measured/metaCheck.ts'
import { dayOf, permittedFor } from '../../measured/runFields.ts'
import type { CurveColour, CurveMeta, MeasuredCurve } from '../../measured/types.ts'
import { madeTable } from '../../plan/madeTables.ts'
import { cellText, headText } from '../../plan/table.ts'
import { removeCurve } from '../actions.ts'
import { el } from '../dom.ts'
import { historyKey } from '../keyboard.ts'
import { type Store, type View, watch } from '../store.ts'
import { curveColours, lookOf } from '../theme.ts'
import { changeCurve, changeMeta, duplicateCurve, moveCurve } from './changes.ts'
import { redoCurve, undoCurve } from './curveHistory.ts'
import { choiceField, optionalNumber, textField } from './editorFields.ts'
import { createPointsEditor } from './pointsEditor.ts'
import { saveTable } from './saving.ts'
import { curveSwatch } from './swatch.ts'

/** How a curve was made, a line each. */
function madeLines(curve: MeasuredCurve): HTMLElement[] {
  const { columns, rows } = madeTable([curve])
  return columns.slice(1).flatMap((column, i) => {
    const text = cellText(rows[0]?.[i + 1] ?? '–', column)
    return text === '–' ? [] : [el('li', {}, `${headText(column)}: ${text}`)]
  })
}

export interface Editor extends View {
  /** Opens the editor for a curve; '' closes it. */
  open(id: string): void
  /** Id of the curve that is open, '' if none is. */
  readonly shown: string
}

/** `closed` is told the id of the curve whenever the user closes the editor. */
export function createEditor(root: HTMLElement, store: Store, closed: (id: string) => void): Editor {
  let id = ''
  const curve = (): MeasuredCurve | undefined => store.getState().measured.find((one) => one.id === id)

  /** Takes an entry over, unless there is something wrong with it. */
  const setMeta =
    <K extends keyof CurveMeta>(
      key: K,
      from: (value: never) => CurveMeta[K] | undefined = (value) => value,
    ) =>
    (value: unknown): string => {
      const entry = from(value as never)
      const said = entry === undefined ? '' : metaProblem(key, entry)
      if (!said) changeMeta(store, id, { [key]: entry })
      return said.replace(/^\w+ is/, 'This is')
    }

  const quantity = (
    key: keyof CurveMeta,
    label: string,
    unit: string,
    from: (typed: number | undefined) => number | undefined = (typed) => typed,
  ) => optionalNumber({ label, unit, permitted: permittedFor(key), set: setMeta(key, from as never) })

  const basis = el('select', { 'aria-label': 'Alcohol fraction: by' })
  for (const [value, text] of [
    ['mass', '% by mass'],
    ['volume', '% by volume'],
  ]) {
    basis.add(new Option(text, value))
  }
  basis.addEventListener('change', () =>
    changeMeta(store, id, { fractionBasis: basis.value as 'mass' | 'volume' }),
  )
  const swatch = el('span', { class: 'swatch-place' })
  const blank = (text: string) => (text === '' ? undefined : text)

  const name = textField({
    label: 'Name',
    set(text) {
      const present = curve()
      if (!text) return 'A curve needs a name.'
      if (present && text !== present.name) changeCurve(store, { ...present, name: text }, 'name')
      return ''
    },
  })
  const alcohol = textField(
    { label: 'Alcohol', set: setMeta('alcohol', blank as never) },
    { suggestions: Object.keys(mixtures), most: 60 },
  )
  const shareOf = (percent: number | undefined) =>
    percent === undefined ? undefined : Number((percent / 100).toPrecision(15))
  const fraction = optionalNumber(
    {
      label: 'Alcohol fraction',
      permitted: permittedFor('alcoholFraction'),
      set(percent) {
        const value = shareOf(percent)
        const wrong = value === undefined ? '' : metaProblem('alcoholFraction', value)
        if (wrong) return wrong
        changeMeta(store, id, {
          alcoholFraction: value,
          fractionBasis: value === undefined ? undefined : (basis.value as 'mass'),
        })
        return ''
      },
    },
    basis,
  )
  const volume = quantity('volume_uL', 'Drop volume', 'µL')
  const start = quantity('startTime_s', 'Moment of contact', 's on this clock')
  const depth = quantity('depth_mm', 'Depth of the bath', 'mm')
  const warmth = quantity('temperature_C', 'Temperature', '°C')
  const humidity = quantity('relativeHumidity', 'Relative humidity', '%', shareOf)
  const oil = textField(
    { label: 'Oil', set: setMeta('oil', blank as never) },
    { suggestions: Object.keys(oils), most: 60 },
  )
  const day = textField({
    label: 'Day, as 2026-11-29',
    set: (text) =>
      text && !dayOf(text) ? 'A day is written as 2026-11-29.' : setMeta('date')(dayOf(text) || undefined),
  })
  const group = textField(
    { label: 'Group of repetitions', set: setMeta('group', blank as never) },
    { most: 100 },
  )
  const conditions = textField(
    { label: 'Conditions (oil, dish, lighting …)', set: setMeta('conditions', blank as never) },
    { lines: 2, most: 2000 },
  )
  const note = textField({ label: 'Note', set: setMeta('note', blank as never) }, { lines: 2, most: 2000 })
  const colour = choiceField<CurveColour | ''>(
    { label: 'Colour and dash', set: setMeta('colour', blank as never) },
    [['', 'by its place in the list'], ...curveColours.map((one) => [one, one] as const)],
    swatch,
  )

  const title = el('h3', { tabindex: -1 })
  const source = el('p', { class: 'note' })
  const told = el('details', { class: 'told' })
  const made = el('details', { class: 'told' })
  const pointsRoot = el('div', { class: 'points-editor' })
  const points = createPointsEditor(pointsRoot, store)
  const button = (text: string, act: () => void) => el('button', { type: 'button', onclick: act }, text)
  const up = button('Move up', () => moveCurve(store, id, -1))
  const down = button('Move down', () => moveCurve(store, id, 1))
  const close = () => {
    const was = id
    open('')
    closed(was)
  }
  root.append(
    title,
    source,
    el(
      'div',
      { class: 'form' },
      ...[
        name,
        alcohol,
        fraction,
        volume,
        start,
        oil,
        depth,
        warmth,
        humidity,
        day,
        group,
        colour,
        conditions,
        note,
      ].map((field) => field.root),
    ),
    told,
    made,
    pointsRoot,
    el(
      'div',
      { class: 'buttons' },
      up,
      down,
      button('Duplicate', () => open(duplicateCurve(store, id))),
      button('Save as a table', () => saveTable([curve()!])),
      button('Remove this curve', () => {
        const was = id
        open('')
        removeCurve(store, was)
        closed(was)
      }),
      el('button', { type: 'button', class: 'main', onclick: close }, 'Close'),
    ),
  )
  root.addEventListener('keydown', (event) => {
    if (event.key === 'Escape') close()
    const step = historyKey(event)
    if (!step) return
    // Here it is the curve's history; the page's own is followed elsewhere.
    event.preventDefault()
    if (step === 'undo') undoCurve(store, id)
    else redoCurve(store, id)
  })

  function draw(): void {
    const present = curve()
    root.hidden = present === undefined
    if (!present) {
      points.show('')
      return
    }
    const { meta, origin } = present
    const { measured } = store.getState()
    const place = measured.indexOf(present)
    title.textContent = `Edit “${present.name}”`
    source.textContent = present.file ? `From ${present.file}.` : ''
    name.show(present.name)
    alcohol.show(meta.alcohol ?? '')
    fraction.show(meta.alcoholFraction === undefined ? undefined : meta.alcoholFraction * 100)
    basis.value = meta.fractionBasis ?? 'mass'
    volume.show(meta.volume_uL)
    start.show(meta.startTime_s)
    depth.show(meta.depth_mm)
    warmth.show(meta.temperature_C)
    humidity.show(meta.relativeHumidity === undefined ? undefined : meta.relativeHumidity * 100)
    oil.show(meta.oil ?? '')
    day.show(meta.date ?? '')
    group.show(meta.group ?? '')
    conditions.show(meta.conditions ?? '')
    note.show(meta.note ?? '')
    colour.show(meta.colour ?? '')
    swatch.replaceChildren(curveSwatch(present, lookOf(measured, place)))
    up.disabled = place === 0
    down.disabled = place === measured.length - 1
    told.hidden = origin === undefined
    const lines = (origin?.skipped ?? []).map((entry) => `Left out: ${linesOf(entry)}, ${entry.reason}.`)
    if (origin?.skippedMore) lines.push(`… and ${origin.skippedMore} more.`)
    told.replaceChildren(
      el('summary', {}, 'What was said when it was read'),
      el('ul', {}, ...[...(origin?.warnings ?? []), ...lines].map((line) => el('li', {}, line))),
    )
    made.hidden = present.provenance === undefined
    made.replaceChildren(el('summary', {}, 'How it was made'), el('ul', {}, ...madeLines(present)))
    points.show(id)
  }

  function open(next: string): void {
    id = next
    draw()
    if (next) {
      title.focus({ preventScroll: true })
      root.scrollIntoView({ block: 'nearest' })
    }
  }

  const unwatch = watch(store, ({ measured }) => [measured], draw)
  return {
    open,
    get shown() {
      return id
    },
    destroy() {
      unwatch()
      points.destroy()
      root.replaceChildren()
    },
  }
}
