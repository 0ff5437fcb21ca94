/** Help on one key, shown on demand: what it is, range, default, and where its number comes from. */
import type { Key } from '../life/keys.ts'
import { permitted } from '../life/preset.ts'
import type { LiquidFacts } from '../life/types.ts'
import type { SourceNote } from '../liquids/types.ts'
import { changeKey } from './controlsChange.ts'
import { scaleOf, withUnit } from './controlsScale.ts'
import { el, freshId } from './dom.ts'
import type { Store } from './store.ts'

/** Which of the library's data stand behind a key. */
const topics: Record<string, RegExp> = {
  'drop.alcohol': /mixture|activity|alcohol/i,
  'drop.alcoholMassFraction': /density|mixture/i,
  'drop.viscosity_mPas': /viscosity(?!.*oil)/i,
  'bath.liquid': /oil|bath/i,
  'bath.viscosity_mPas': /viscosity.*(oil|bath)|(oil|bath).*viscosity/i,
  'bath.density_kgPerM3': /density.*(oil|bath)|(oil|bath).*density/i,
  'bath.tension_mNperM': /oil\/air|tension.*(oil|bath)/i,
  'air.mode': /vapour|diffusi/i,
  'air.filmCoefficient_mmPerS': /film coefficient|transfer|vapour/i,
  'interface.water_mNperM': /water\/oil|drop\/oil|interfac/i,
  'interface.end_mNperM': /drop\/oil|interfac/i,
  'interface.decay': /drop\/oil|interfac/i,
  'model.dispersion_m2PerS': /diffusi.*liquid|liquid.*diffusi/i,
}

const sourcesOf = (key: Key, facts: LiquidFacts | undefined): SourceNote[] =>
  facts && topics[key.path] ? facts.sources.filter((note) => topics[key.path]!.test(note.quantity)) : []

function defaultText(key: Key): string {
  if (key.kind === 'number') {
    return key.fallback === null ? 'from the liquids library' : withUnit(key.fallback, scaleOf(key))
  }
  if (key.kind === 'switch') return key.fallback ? 'on' : 'off'
  return key.options.find((option) => option.value === key.fallback)?.label ?? key.fallback
}

function rangeText(key: Key): string {
  if (key.kind !== 'number') return ''
  const scale = scaleOf(key)
  if (scale.factor === 1) return `Range: ${permitted(key)}.`
  return `Range: ${withUnit(key.min, scale)} to ${withUnit(key.max, scale)}.`
}

function fill(panel: HTMLElement, key: Key, store: Store): void {
  const notes = sourcesOf(key, store.getState().life?.facts)
  const list = notes.map((note) =>
    el('li', {}, `${note.quantity}: ${note.source} (${note.quality}; ${note.range})`),
  )
  const toDefault = el(
    'button',
    { type: 'button', onclick: () => changeKey(store, key.path, key.fallback) },
    'Back to default',
  )
  panel.replaceChildren(
    el('p', {}, key.help),
    el('p', {}, `${rangeText(key)} Default: ${defaultText(key)}.`.trim()),
    ...(list.length > 0 ? [el('p', {}, 'Where the numbers come from:'), el('ul', {}, ...list)] : []),
    toDefault,
  )
}

/** A "?" button and the panel that it opens. */
export function createHelp(key: Key, store: Store): { button: HTMLButtonElement; panel: HTMLElement } {
  const panel = el('div', { class: 'help', id: freshId('help'), hidden: true })
  const button = el(
    'button',
    {
      type: 'button',
      class: 'help-button',
      'aria-expanded': 'false',
      'aria-controls': panel.id,
      'aria-label': `About: ${key.label}`,
    },
    '?',
  )
  button.addEventListener('click', (event) => {
    event.preventDefault()
    event.stopPropagation()
    panel.hidden = !panel.hidden
    button.setAttribute('aria-expanded', String(!panel.hidden))
    if (!panel.hidden) fill(panel, key, store)
  })
  return { button, panel }
}
