/** The fields about light, film and place; a change is told at once. */
import { el } from '../dom.ts'
import { choiceField, group, show, textField } from '../video/fields.ts'
import type { Inputs } from './inputs.ts'

export interface Form {
  root: HTMLElement
  update(inputs: Inputs): void
}

type Change = (change: Partial<Inputs>) => void

const lights = [
  ['one', 'one wavelength'],
  ['white', 'white (daylight)'],
] as const
const knowns = [
  ['nowhere', 'nowhere: differences only'],
  ['place', 'at one place'],
  ['rim', 'at the rim, where it is nothing'],
] as const
const ways = [
  ['thinner', 'gets thinner at first'],
  ['thicker', 'gets thicker at first'],
  ['unknown', 'is not known'],
] as const

export function createForm(change: Change): Form {
  const fields: [keyof Inputs, HTMLInputElement | HTMLSelectElement][] = []
  const text = (key: keyof Inputs, label: string, unit: string): HTMLElement => {
    const { row, input } = textField(label, unit, (value) => change({ [key]: value }))
    fields.push([key, input])
    return row
  }
  const choice = <T extends string>(
    key: keyof Inputs,
    label: string,
    options: readonly (readonly [T, string])[],
  ) => {
    const { row, input } = choiceField(label, options, (value: T) => change({ [key]: value }))
    fields.push([key, input])
    return row
  }
  const ofOne = [text('wavelength', 'Wavelength', 'nm'), text('wavelengthSigma', 'known to ±', 'nm')]
  const orders = group(
    'Order of the fringes',
    choice('known', 'The thickness is known', knowns),
    text('knownRadius', 'Distance from the centre', 'mm'),
    text('knownThickness', 'Thickness there', 'µm'),
    text('knownSigma', 'known to ±', 'nm'),
    choice('outward', 'From the inside outwards the film', ways),
    el(
      'p',
      { class: 'note' },
      'Brightness does not tell thinning from thickening: say it for the innermost fringes; turns farther out are found from the fringes.',
    ),
  )
  const place = [...orders.querySelectorAll('label')].slice(1, 4)
  const outward = [...orders.querySelectorAll('label')][4]!
  const root = el(
    'div',
    { class: 'fringes-form' },
    group(
      'Light and film',
      choice('light', 'Light', lights),
      ...ofOne,
      text('index', 'Index of the film', ''),
      text('indexSigma', 'known to ±', ''),
    ),
    orders,
    group(
      'Drop in the picture',
      text('x', 'Centre, from the left', 'px'),
      text('y', 'Centre, from the top', 'px'),
      text('radius', 'Radius', 'px'),
      text('radiusMm', 'Radius', 'mm'),
      text('direction', 'Direction, clockwise from the right; empty = all round', '°'),
    ),
    group('Beside it', text('moment', 'Moment of the simulated life', 's')),
  )
  return {
    root,
    update(inputs) {
      for (const [key, input] of fields) show(input, inputs[key])
      for (const row of ofOne) row.hidden = inputs.light === 'white'
      orders.hidden = inputs.light === 'white'
      for (const row of place) row.hidden = inputs.known !== 'place'
      outward.hidden = inputs.known === 'rim'
    },
  }
}
