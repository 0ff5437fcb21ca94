/** Presets: those that come with the page, those kept in this browser, and files. */
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

const storageKey = 'rimtide.presets'

/** Presets kept in this browser. A record that cannot be read is passed over, never deleted. */
export function keptPresets(): Preset[] {
  try {
    const stored: unknown = JSON.parse(localStorage.getItem(storageKey) ?? '[]')
    if (!Array.isArray(stored)) return []
    return stored.flatMap((entry) => {
      const result = parsePreset(String(entry))
      return result.ok ? [result.preset] : []
    })
  } catch {
    return []
  }
}

function write(presets: Preset[]): string {
  try {
    localStorage.setItem(storageKey, JSON.stringify(presets.map(serialisePreset)))
    return ''
  } catch (error) {
    const reason = error instanceof Error ? error.message : 'no reason given'
    return `This browser did not keep the preset (${reason}).`
  }
}

/** Keeps a preset in this browser; one with the same title is replaced. Gives back what went wrong, or ''. */
export const keepPreset = (preset: Preset): string =>
  write([...keptPresets().filter(({ title }) => title !== preset.title), preset])

/** Takes a kept preset out. Gives back what went wrong, or ''. */
export const forgetPreset = (title: string): string =>
  write(keptPresets().filter((preset) => preset.title !== title))

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
