/** Light and dark, and the colours that canvases need to know. All colours live in styles/base.css as variables. */
import type { CurveColour, MeasuredCurve } from '../measured/types.ts'
import { setTheme } from './actions.ts'
import { type Store, type Theme, type View, watch } from './store.ts'

export interface Palette {
  /** Text and axes. */
  ink: string
  /** Secondary text. */
  faint: string
  /** Grid lines and borders. */
  line: string
  /** Background of panels. */
  panel: string
  /** What can be grabbed. */
  accent: string
  /** The bath. */
  straw: string
  /** The present life. */
  life: string
}

/** Series colours (Okabe & Ito, Color Universal Design, 2008), paired with dashes so that none relies on hue. */
export const seriesStyles: readonly { colour: string; dash: readonly number[] }[] = [
  { colour: '#d55e00', dash: [7, 3] },
  { colour: '#009e73', dash: [2, 3] },
  { colour: '#cc79a7', dash: [10, 3, 2, 3] },
  { colour: '#e69f00', dash: [4, 2] },
  { colour: '#56b4e9', dash: [12, 4] },
  { colour: '#0072b2', dash: [2, 2, 7, 2] },
]

export type Marker = 'circle' | 'square' | 'diamond' | 'triangle'
const markers: readonly Marker[] = ['circle', 'square', 'diamond', 'triangle']

/** Names of `seriesStyles`, in its order. */
export const curveColours: readonly CurveColour[] = ['vermilion', 'green', 'purple', 'orange', 'sky', 'blue']

export interface CurveStyle {
  colour: string
  dash: readonly number[]
  marker: Marker
}

type Styled = Pick<MeasuredCurve, 'meta'>

/** What has one colour and one mark in all figures: a strength of an alcohol; a curve without one stands for itself. */
const strengthOf = ({ meta }: Styled): string | null => {
  const { alcoholFraction, alcohol = '', fractionBasis = 'mass' } = meta
  if (alcoholFraction === undefined) return null
  return `${alcohol} ${Number(alcoholFraction.toFixed(4))} ${fractionBasis}`
}

const looks = new WeakMap<readonly Styled[], readonly number[]>()

/** Number of the look of a curve among all measured curves: the same for the same strength, in the order of the list. */
export function lookOf(curves: readonly Styled[], index: number): number {
  const known = looks.get(curves) ?? looksOf(curves)
  looks.set(curves, known)
  return known[index] ?? new Set(known).size
}

function looksOf(curves: readonly Styled[]): number[] {
  const numbers = new Map<string | number, number>()
  return curves.map((curve, i) => {
    const key = strengthOf(curve) ?? i
    const number = numbers.get(key) ?? numbers.size
    numbers.set(key, number)
    return number
  })
}

/** How a measured curve is drawn, by its own colour or by its look (`lookOf`); told apart by shape as well as by colour. */
export function curveStyle(curve: Styled, look: number): CurveStyle {
  const own = curve.meta.colour ? curveColours.indexOf(curve.meta.colour) : -1
  const style = seriesStyles[own >= 0 ? own : (look + 5) % seriesStyles.length]!
  return { ...style, marker: markers[look % markers.length]! }
}

/** Present values of the style sheet's colour variables. */
export function palette(element: Element = document.documentElement): Palette {
  const style = getComputedStyle(element)
  const read = (name: string) => style.getPropertyValue(`--${name}`).trim()
  return {
    ink: read('ink'),
    faint: read('faint'),
    line: read('line'),
    panel: read('panel'),
    accent: read('accent'),
    straw: read('straw'),
    life: read('life'),
  }
}

const storageKey = 'rimtide.theme'

export function rememberedTheme(): Theme {
  try {
    const value = localStorage.getItem(storageKey)
    return value === 'light' || value === 'dark' ? value : 'system'
  } catch {
    return 'system'
  }
}

/** Keeps the document's theme and `dark` in step with the choice and with the system. */
export function followTheme(store: Store): View {
  const system = matchMedia('(prefers-color-scheme: dark)')
  // Where the system sets the colours, the ground is the system's, whatever was chosen here: drawings must suit it.
  const forced = matchMedia('(forced-colors: active)')
  const update = () => {
    const { theme } = store.getState()
    const dark = theme === 'system' || forced.matches ? system.matches : theme === 'dark'
    document.documentElement.dataset.theme = dark ? 'dark' : 'light'
    store.setState({ dark })
    try {
      localStorage.setItem(storageKey, theme)
    } catch {
      // A refused storage only means that the choice is asked for again next time.
    }
  }
  const unwatch = watch(store, (state) => [state.theme], update)
  for (const query of [system, forced]) query.addEventListener('change', update)
  return {
    destroy() {
      unwatch()
      for (const query of [system, forced]) query.removeEventListener('change', update)
    },
  }
}

export function createThemeChoice(root: HTMLElement, store: Store): View {
  const label = document.createElement('label')
  label.className = 'theme-choice'
  const caption = document.createElement('span')
  caption.className = 'visually-hidden'
  caption.textContent = 'Light or dark'
  const select = document.createElement('select')
  for (const [value, text] of [
    ['system', 'System'],
    ['light', 'Light'],
    ['dark', 'Dark'],
  ] as const) {
    select.add(new Option(text, value))
  }
  select.addEventListener('change', () => setTheme(store, select.value as Theme))
  label.append(caption, select)
  root.append(label)
  const unwatch = watch(
    store,
    (state) => [state.theme],
    ([theme]) => {
      select.value = theme
    },
  )
  return {
    destroy() {
      unwatch()
      label.remove()
    },
  }
}
