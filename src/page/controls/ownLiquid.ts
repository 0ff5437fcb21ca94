/** The user's own liquids among the controls: named in the lists, loaded from and saved as a file. */
import { serialiseLiquid } from '../../life/preset.ts'
import type { Preset } from '../../life/types.ts'
import { copyOf } from '../../liquids/own/copy.ts'
import { OWN, type OwnKind } from '../../liquids/own/types.ts'
import { el } from '../dom.ts'
import { chooseFiles } from '../files.ts'
import { fileNameOf, saveText } from '../presets.ts'
import type { Store } from '../store.ts'

const KINDS: Record<string, OwnKind> = { 'drop.alcohol': 'mixture', 'bath.liquid': 'oil' }

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
