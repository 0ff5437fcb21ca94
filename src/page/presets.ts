/** Presets: those that come with the page, and files. Those kept in this browser: keptPresets.ts. */
import { defaultPreset, parsePreset, serialisePreset } from '../life/preset.ts'
import type { Preset } from '../life/types.ts'

const files = import.meta.glob<string>('../../presets/*.json', {
  query: '?raw',
  import: 'default',
  eager: true,
})

/** The presets that come with the page, by file name. A broken one is left out with a note in the console. */
export const shippedPresets: readonly Preset[] = Object.entries(files).flatMap(([path, text]) => {
  const result = parsePreset(text)
  if (result.ok) return [result.preset]
  console.warn(`${path} is not a valid preset.`, result.problems)
  return []
})

/** The drop that a first visit sees: one that spreads, thins and bursts. */
export const firstPreset = (): Preset =>
  shippedPresets.find((preset) => preset.ring.breakUp) ?? shippedPresets[0] ?? defaultPreset()

/** A file name made of a title: letters and digits of any script, hyphens. */
export const fileNameOf = (title: string): string =>
  `${
    title
      .normalize('NFKC')
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 60) || 'drop'
  }.json`

/** Hands a text to the browser as a file to be saved. */
export function saveText(name: string, text: string, type: string): void {
  const address = URL.createObjectURL(new Blob([text], { type }))
  const anchor = document.createElement('a')
  anchor.href = address
  anchor.download = name
  anchor.click()
  setTimeout(() => URL.revokeObjectURL(address), 10_000)
}

export const savePreset = (preset: Preset): void =>
  saveText(fileNameOf(preset.title), serialisePreset(preset), 'application/json')
