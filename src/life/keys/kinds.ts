/** The kinds of preset keys, and short ways to write them. */

export interface NumberKey {
  kind: 'number'
  path: string
  label: string
  unit: string
  min: number
  max: number
  /** Default; null means "taken from the liquids library". */
  fallback: number | null
  integer?: boolean
  /** Slider in powers of ten. */
  logarithmic?: boolean
  help: string
}
export interface ChoiceKey {
  kind: 'choice'
  path: string
  label: string
  options: { value: string; label: string }[]
  fallback: string
  help: string
}
export interface SwitchKey {
  kind: 'switch'
  path: string
  label: string
  fallback: boolean
  help: string
  /** What is told to be switched off where it is; '' for the label. */
  off?: string
}
export type Key = NumberKey | ChoiceKey | SwitchKey

export const num = (
  path: string,
  label: string,
  unit: string,
  min: number,
  max: number,
  fallback: number | null,
  help: string,
  more: Partial<NumberKey> = {},
): NumberKey => ({ kind: 'number', path, label, unit, min, max, fallback, help, ...more })

export const choice = (
  path: string,
  label: string,
  options: [string, string][],
  fallback: string,
  help: string,
): ChoiceKey => ({
  kind: 'choice',
  path,
  label,
  options: options.map(([value, text]) => ({ value, label: text })),
  fallback,
  help,
})

export const toggle = (path: string, label: string, fallback: boolean, help: string): SwitchKey => ({
  kind: 'switch',
  path,
  label,
  fallback,
  help,
})

/** A mechanism of the model that can be switched off: a limit of its equations, made in problemOf.ts. */
export const mechanism = (name: string, label: string, help: string, off?: string): SwitchKey => ({
  ...toggle(`mechanisms.${name}`, label, true, help),
  ...(off ? { off } : {}),
})
