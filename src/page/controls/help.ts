/** Help on one key, shown on demand: what it is, range, default, and where its number comes from. */
import type { Key } from '../../life/keys.ts'
import { permitted } from '../../life/preset.ts'
import type { Preset } from '../../life/types.ts'
import { oilIndexNote } from '../../liquids/opticalIndices.ts'
import { oilNamed } from '../../liquids/own/resolve.ts'
import { outsideWords } from '../../liquids/range.ts'
import type { SourceNote } from '../../liquids/types.ts'
import { keyValue } from '../actions.ts'
import { el, freshId } from '../dom.ts'
import { type Store, watch } from '../store.ts'
import { changeKey } from './change.ts'
import { liquidButtons } from './ownLiquid.ts'
import { hasPresentWords, presentWords } from './presentWords.ts'
import { scaleOf, withUnit } from './scale.ts'

/** Which of the library's data stand behind a key, by the names that the liquids give them. */
const topics: Record<string, RegExp> = {
  'drop.alcohol': /–water\b|^activity|of the alcohol$|of the vapour|^refractive/,
  'drop.alcoholMassFraction': /^density of|^surface tension of/,
  'drop.viscosity_mPas': /^viscosity (of|away)/,
  'bath.liquid': /^(density|viscosity|tension against (air|pure water))$/,
  'bath.viscosity_mPas': /^viscosity$/,
  'bath.density_kgPerM3': /^density$/,
  'bath.tension_mNperM': /^tension against air$/,
  'bath.solubility': /^solubility of the alcohol/,
  'bath.alcoholDiffusivity_m2PerS': /^diffusivity of the alcohol in the oil/,
  'air.temperature_C':
    /^(density|viscosity|surface tension|tension against|vapour pressure|saturation|diffusivity)|drop\/oil/,
  'air.relativeHumidity': /^activity|water vapour|^saturation pressure/,
  'air.mode': /^activity|vapour|^still air|^layer of air/,
  'air.constantRate_umPerS': /^constant rate/,
  'air.filmCoefficient_mmPerS': /^film coefficient|^activity|vapour/,
  'air.speed_mPerS': /^film coefficient (from|of)|diffusivity of .*vapour/,
  'air.enhancement': /^draught|^still air|diffusivity of .*vapour/,
  'air.layer_mm': /^layer of air|diffusivity of .*vapour/,
  'interface.water_mNperM': /^tension against pure water$|drop\/oil/,
  'interface.end_mNperM': /drop\/oil/,
  'interface.decay': /drop\/oil/,
  'model.filmCutoff_nm': /^coverage cut-off/,
  'model.evaporationCutoff_nm': /^evaporation cut-off/,
  'model.gammaEff_mNperM': /^levelling|^surface tension of|^tension against pure water$/,
  'model.dispersion_m2PerS': /^diffusivity in the liquid$|^shear dispersion/,
}

/** The curve between drop and oil is no datum of any liquid: it is the page's own assumption. */
const dropOilCurve: SourceNote = {
  quantity: 'drop/oil tension over the strength',
  source:
    'end + (water − end)·exp(−k·w), w by mass; no table over the composition was found, so the shape and its numbers are a choice of this program.',
  quality: 'assumed',
  range: '0–100 %, one curve for all temperatures',
}

const wantsDropOil = (path: string): boolean => path.startsWith('interface.') || path === 'air.temperature_C'

/** What is known of the numbers behind a key. */
export function sourcesOf(path: string, sources: readonly SourceNote[]): SourceNote[] {
  const topic = topics[path]
  if (!topic) return []
  const notes = sources.filter(({ quantity }) => topic.test(quantity) || quantity.startsWith('all curves'))
  const own = wantsDropOil(path) && !notes.some(({ quantity }) => /drop\/oil/.test(quantity))
  return own ? [...notes, dropOilCurve] : notes
}

/** The oil's refractive index matters for the drop as it looks, not for its life. */
export const indexNotes = (path: string, { bath, liquids }: Preset): SourceNote[] =>
  path === 'bath.liquid' ? [oilIndexNote(oilNamed(bath.liquid, liquids) ?? null)] : []

export const helpTopics: readonly string[] = Object.keys(topics)

function defaultText(key: Key): string {
  if (key.kind === 'number') {
    return key.fallback === null ? 'left empty' : withUnit(key.fallback, scaleOf(key))
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

/** A note in words, with what is outside its data at the present temperature (°C). */
export function sourceWords(note: SourceNote, celsius: number): string {
  const outside = outsideWords(note, celsius)
  return `${note.quantity}: ${note.source} (${note.quality}; ${note.range}${outside && `; ${outside}`})`
}

function fill(panel: HTMLElement, now: HTMLElement, key: Key, store: Store): void {
  const { preset, life } = store.getState()
  const notes = [...sourcesOf(key.path, life?.facts.sources ?? []), ...indexNotes(key.path, preset)]
  const yours = key.kind === 'number' && key.fallback === null && keyValue(preset, key.path) !== undefined
  const list = notes.map((note) => el('li', {}, sourceWords(note, preset.air.temperature_C)))
  const toDefault = el(
    'button',
    { type: 'button', onclick: () => changeKey(store, key.path, key.fallback) },
    'Back to default',
  )
  const buttons = liquidButtons(key.path, store)
  panel.replaceChildren(
    el('p', {}, key.help),
    el('p', {}, `${rangeText(key)} Default: ${defaultText(key)}.`.trim()),
    now,
    ...(buttons.length > 0 ? [el('div', { class: 'buttons' }, ...buttons)] : []),
    ...(list.length > 0
      ? [
          el(
            'p',
            {},
            yours
              ? 'Your own value is used. That of the library would come from:'
              : 'Where the numbers come from:',
          ),
          el('ul', {}, ...list),
        ]
      : []),
    toDefault,
  )
}

export interface Help {
  button: HTMLButtonElement
  panel: HTMLElement
  destroy(): void
}

/** A "?" button and the panel that it opens. */
export function createHelp(key: Key, store: Store): Help {
  const panel = el('div', { class: 'help', id: freshId('help'), hidden: true })
  const now = el('p', { class: 'now' })
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
  const open = (wanted: boolean) => {
    panel.hidden = !wanted
    button.setAttribute('aria-expanded', String(wanted))
    if (wanted) fill(panel, now, key, store)
  }
  button.addEventListener('click', (event) => {
    event.preventDefault()
    event.stopPropagation()
    open(panel.hidden === true)
  })
  const onKey = (event: KeyboardEvent) => {
    if (event.key !== 'Escape' || panel.hidden) return
    event.stopPropagation()
    open(false)
    button.focus()
  }
  button.addEventListener('keydown', onKey)
  panel.addEventListener('keydown', onKey)
  const destroy = hasPresentWords(key.path)
    ? watch(
        store,
        ({ life }) => [life],
        ([life]) => {
          now.textContent = presentWords(key.path, life)
        },
      )
    : () => {}
  return { button, panel, destroy }
}
