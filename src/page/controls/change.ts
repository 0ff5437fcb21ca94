/** One change of a control: checked, with what must change along with it. */
import { keyOf } from '../../life/keys.ts'
import { type Leaf, setKeys } from '../../life/preset.ts'
import type { Preset } from '../../life/types.ts'
import { keyValue, say, setPreset } from '../actions.ts'
import type { Store } from '../store.ts'

/** The closed-form liquids come as a pair and evaporate at a constant rate; choosing one brings the rest along. */
function companions(preset: Preset, path: string, value: Leaf | null): [string, Leaf | null][] {
  if (path === 'drop.alcohol') {
    if (value === 'reference') return closedForms.filter(([other]) => other !== path)
    if (preset.bath.liquid === 'reference') return [['bath.liquid', null]]
  }
  if (path === 'bath.liquid') {
    if (value === 'reference') return closedForms.filter(([other]) => other !== path)
    if (preset.drop.alcohol === 'reference') return [['drop.alcohol', null]]
  }
  return []
}

const closedForms: [string, Leaf][] = [
  ['drop.alcohol', 'reference'],
  ['bath.liquid', 'reference'],
  ['air.mode', 'constant'],
]

const labelOf = (path: string): string => keyOf(path)?.label ?? path

/**
 * Changes a key (null = back to its default or to the library). Gives back what is wrong, in words, or '' when
 * the change was made.
 */
export function changeKey(store: Store, path: string, value: Leaf | null): string {
  const { preset } = store.getState()
  if (Object.is(keyValue(preset, path) ?? null, value)) return ''
  const along = companions(preset, path, value).filter(
    ([other, wanted]) => keyValue(preset, other) !== wanted,
  )
  const result = setKeys(preset, [[path, value], ...along])
  if (!result.ok) return result.problems.map((problem) => problem.message).join(' ')
  setPreset(store, result.preset, path)
  if (along.length > 0) {
    const names = along.map(([other]) => `${labelOf(other)}: ${keyValue(result.preset, other)}`)
    say(
      store,
      'note',
      `Changed along with it: ${names.join(', ')}.`,
      'These liquids can only be used together. Undo takes both back.',
    )
  }
  return ''
}
