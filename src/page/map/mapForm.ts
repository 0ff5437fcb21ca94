/** What can be chosen for the map: its axes, how fine it is, its colours and lines. */
import type { MapWish } from '../../plan/mapGrid.ts'
import { OUTPUTS } from '../../plan/outputs.ts'
import { el } from '../dom.ts'
import { axisChoice } from './axisChoice.ts'
import type { MapColour } from './mapData.ts'
import { outputTitle } from './outputScale.ts'

interface Size {
  name: string
  nx: number
  ny: number
  /** Steps of the grid between the lines of the first one. */
  coarse: number
}

const SIZES: readonly Size[] = [
  { name: 'coarse', nx: 17, ny: 13, coarse: 2 },
  { name: 'normal', nx: 33, ny: 25, coarse: 4 },
  { name: 'fine', nx: 65, ny: 49, coarse: 8 },
  { name: 'finest', nx: 129, ny: 97, coarse: 8 },
]

const upper = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1)

function select(label: string, options: readonly (readonly [string, string])[], changed: () => void) {
  const list = el('select', { 'aria-label': label, onchange: changed })
  for (const [value, text] of options) list.add(new Option(text, value))
  return list
}

function box(text: string, checked: boolean, changed: () => void) {
  const input = el('input', { type: 'checkbox', checked, onchange: changed })
  return { input, label: el('label', {}, input, text) }
}

export interface MapForm {
  root: HTMLElement
  wish(): MapWish
  by(): MapColour
  lines(): boolean
  dots(): boolean
  /** Shows the choices of a map that was kept. */
  show(wish: MapWish, by: MapColour): void
  /** Says what is wrong with an axis, at its field; without one, that nothing is. */
  complain(where?: string, message?: string): void
}

/** @param changed the map that is asked for is another @param look only what is shown of it */
export function mapForm(changed: () => void, look: () => void): MapForm {
  const x = axisChoice('Across', 'drop.alcoholMassFraction', changed)
  const y = axisChoice('Up', 'drop.volume_uL', changed)
  const size = select(
    'Fineness',
    SIZES.map(({ name, nx, ny }, i) => [String(i), `${name} (${nx} × ${ny})`]),
    changed,
  )
  size.value = '1'
  const every = box('run every point', false, changed)
  const colour = select(
    'Colour the map by',
    [['outcome', 'Outcome'], ...OUTPUTS.map((output) => [output.id, upper(outputTitle(output))] as const)],
    () => {
      changed()
      look()
    },
  )
  const lines = box('lines', true, look)
  const dots = box('dots where a life was run', false, look)
  const by = () => colour.value
  return {
    root: el(
      'div',
      { class: 'form' },
      x.root,
      y.root,
      el('label', {}, 'Points', size),
      every.label,
      el('label', {}, 'Colour', colour),
      lines.label,
      dots.label,
    ),
    by,
    lines: () => lines.input.checked,
    dots: () => dots.input.checked,
    wish() {
      const { nx, ny, coarse } = SIZES[Number(size.value)]!
      const output = by() === 'outcome' ? undefined : by()
      const refine = every.input.checked ? undefined : { coarse, by: output }
      return { x: x.axis(nx), y: y.axis(ny), refine }
    },
    show(wish, shown) {
      x.show(wish.x)
      y.show(wish.y)
      const at = SIZES.findIndex(({ nx }) => nx === wish.x.count)
      if (at >= 0) size.value = String(at)
      every.input.checked = !wish.refine
      colour.value = shown
    },
    complain(where = '', message = '') {
      for (const [name, axis] of [
        ['x', x],
        ['y', y],
      ] as const) {
        for (const field of axis.fields) field.complain('')
        if (name === where) axis.fields[0]!.complain(message)
      }
    },
  }
}
