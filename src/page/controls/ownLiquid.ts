/** The user's own liquids among the controls: taken from a file, named in the lists, saved as a file. */
import { parseLiquid, serialiseLiquid, withLiquid } from '../../life/preset.ts'
import type { Preset } from '../../life/types.ts'
import { copyOf } from '../../liquids/own/copy.ts'
import { mixtureFor, oilFor } from '../../liquids/own/resolve.ts'
import { OWN, type OwnKind, type OwnLiquid } from '../../liquids/own/types.ts'
import { say, setPreset } from '../actions.ts'
import { el } from '../dom.ts'
import { chooseFiles } from '../files.ts'
import { fileNameOf, saveText } from '../presets.ts'
import { refuse } from '../refuse.ts'
import type { Store } from '../store.ts'

const KINDS: Record<string, OwnKind> = { 'drop.alcohol': 'mixture', 'bath.liquid': 'oil' }

/** Takes the text of a liquid file: the liquid is chosen at once, or everything that is wrong with it is told. */
export function takeLiquid(name: string, text: string, store: Store): void {
  const read = parseLiquid(text)
  const { preset } = store.getState()
  const made = read.ok ? withLiquid(preset, read.kind, read.liquid, beside(preset, read.kind)) : read
  if (!read.ok || !made.ok) {
    refuse(store, `${name} is not a liquid that can be used.`, made.ok ? [] : made.problems)
    return
  }
  setPreset(store, made.preset)
  const { liquid, kind } = read
  const role = kind === 'mixture' ? 'the alcohol of the drop' : 'the bath'
  const lent = `What it leaves out comes from ${likeName(kind, liquid)}.`
  say(
    store,
    'note',
    `${liquid.name} is now ${role}. ${lent}`,
    'Save the preset to keep it. Undo takes it back.',
  )
}

const likeName = (kind: OwnKind, { like }: OwnLiquid): string =>
  kind === 'mixture' ? mixtureFor({ drop: { alcohol: like } }).name : oilFor({ bath: { liquid: like } }).name

/** A real liquid does not go with the closed forms: the other one of the pair becomes real too. */
function beside({ drop }: Preset, kind: OwnKind): [string, string][] {
  if (drop.alcohol !== 'reference') return []
  return kind === 'mixture' ? [['bath.liquid', 'rapeseed-oil']] : [['drop.alcohol', 'ethanol']]
}

/** Name of the user's liquid where the key stands at it; '' elsewhere. */
export function ownNameOf(path: string, { drop, bath, liquids }: Preset): string {
  if (path === 'drop.alcohol' && drop.alcohol === OWN) return liquids?.mixture?.name ?? ''
  if (path === 'bath.liquid' && bath.liquid === OWN) return liquids?.oil?.name ?? ''
  return ''
}

/** Gives the last choice of a list of liquids the name of the user's liquid. */
export function nameOwnOption(
  row: HTMLElement,
  key: { path: string; options: { value: string }[] },
  preset: Preset,
): void {
  const kind = KINDS[key.path]
  const index = key.options.findIndex(({ value }) => value === OWN)
  const option = row.querySelectorAll('option')[index]
  if (!kind || !option) return
  const name = preset.liquids?.[kind]?.name
  option.textContent = name
    ? `${name} (own)`
    : kind === 'mixture'
      ? 'own liquid, from a file'
      : 'own oil, from a file'
  const display = row.querySelector('.lil-display')
  if (display && ownNameOf(key.path, preset)) display.textContent = option.textContent
}

/** The liquid that the preset has now, as a file: the user's as it is, one of the library as tables to begin from. */
function saveLiquid(kind: OwnKind, { preset }: { preset: Preset }): void {
  const id = kind === 'mixture' ? preset.drop.alcohol : preset.bath.liquid
  const liquid = id === OWN ? preset.liquids![kind]! : copyOf(kind, id)
  saveText(fileNameOf(liquid.name), serialiseLiquid(kind, liquid), 'application/json')
}

/** Buttons of the help on a liquid; none elsewhere. */
export function liquidButtons(path: string, store: Store): HTMLElement[] {
  const kind = KINDS[path]
  if (!kind) return []
  const { drop } = store.getState().preset
  const load = el('button', { type: 'button', onclick: () => chooseFiles(store) }, 'Load a liquid file')
  const save = el(
    'button',
    { type: 'button', onclick: () => saveLiquid(kind, store.getState()) },
    'Save this liquid as a file',
  )
  return drop.alcohol === 'reference' ? [load] : [load, save]
}
