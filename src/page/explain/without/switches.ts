/**
 * What a drop can be compared with: itself without a mechanism, or with another oil bath. The companion is always the
 * user's drop with the chosen changes, made anew each time, so that changes cannot pile up unseen. Pure.
 */
import { offNames } from '../../../life/mechanisms.ts'
import { type Leaf, presetToLink, setKeys } from '../../../life/preset.ts'
import type { Preset } from '../../../life/types.ts'

type Change = readonly [path: string, value: Leaf]

export interface Switch {
  id: string
  /** Words after "the same drop", beginning with "without" or "with". */
  words(base: Preset): string
  changes(base: Preset): readonly Change[]
  /** Why it would say nothing about this drop, as a clause; '' if it does. */
  idle(base: Preset): string
}

/** Nothing leaves this drop as it is. */
const loses = ({ air }: Preset): boolean =>
  air.mode === 'constant'
    ? air.constantRate_umPerS > 0
    : air.mode === 'still' ||
      air.mode === 'layer' ||
      air.speed_mPerS !== undefined ||
      air.filmCoefficient_mmPerS > 0

/** The oil takes up alcohol. The reference liquids have none that it could, unless it is given. */
const drinks = ({ drop, bath }: Preset): boolean =>
  drop.alcohol === 'reference'
    ? (bath.solubility ?? 0) > 0
    : bath.solubility !== 0 && bath.alcoholDiffusivity_m2PerS !== 0

type Name = keyof Preset['mechanisms']

function mechanism(name: Name, words: string, otherwise: (base: Preset) => string = () => ''): Switch {
  return {
    id: name,
    words: () => `without ${words}`,
    changes: () => [[`mechanisms.${name}`, false]],
    idle: (base) => (offNames(base).includes(name) ? 'already off in your drop' : otherwise(base)),
  }
}

const still = (base: Preset): string => (loses(base) ? '' : 'nothing evaporates from your drop')

export const SWITCHES: readonly Switch[] = [
  mechanism('evaporation', 'evaporation', still),
  mechanism('uptake', 'uptake by the oil', (base) => (drinks(base) ? '' : 'your oil takes up nothing')),
  mechanism('cooling', 'cooling by evaporation', (base) =>
    base.drop.alcohol === 'reference' ? 'the closed-form liquids know no cooling' : still(base),
  ),
  mechanism('tensionAbove', 'the tension gradient above'),
  mechanism('tensionBelow', 'the tension gradient below'),
  mechanism('bathDrag', 'most of the oil’s drag'),
  mechanism('levelling', 'levelling by the curved surface'),
  {
    id: 'honey',
    words: () => 'with oil as thick as honey (5 Pa·s)',
    changes: () => [['bath.viscosity_mPas', 5000]],
    idle: ({ bath }) => (bath.viscosity_mPas === 5000 ? 'your oil is as thick as that' : ''),
  },
  {
    id: 'shallow',
    words: () => 'with only 2 mm of oil',
    changes: () => [['bath.depth_mm', 2]],
    idle: ({ bath }) => (bath.depth_mm > 2 ? '' : 'your oil is no deeper than that'),
  },
  {
    id: 'breakUp',
    words: ({ ring }) => (ring.breakUp ? 'without break-up of the rim' : 'with break-up of the rim'),
    changes: ({ ring }) => [['ring.breakUp', !ring.breakUp]],
    idle: () => '',
  },
]

/** The chosen switches that change something about this drop, in the order of the table. Unknown ids are passed over. */
export const chosenSwitches = (base: Preset, ids: readonly string[]): Switch[] =>
  SWITCHES.filter((one) => ids.includes(one.id) && one.idle(base) === '')

/** The user's drop with the chosen changes and nothing else; null where they change nothing. */
export function companionOf(base: Preset, ids: readonly string[]): Preset | null {
  const chosen = chosenSwitches(base, ids)
  if (chosen.length === 0) return null
  const made = setKeys(
    base,
    chosen.flatMap((one) => one.changes(base)),
  )
  return made.ok && presetToLink(made.preset) !== presetToLink(base) ? made.preset : null
}

const listed = (parts: readonly string[]): string =>
  parts.length > 1 ? `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}` : (parts[0] ?? '')

/** "without evaporation and uptake by the oil, with only 2 mm of oil". */
export function chosenWords(base: Preset, ids: readonly string[]): string {
  const words = chosenSwitches(base, ids).map((one) => one.words(base))
  const group = (start: string) =>
    listed(words.filter((text) => text.startsWith(start)).map((text) => text.slice(start.length)))
  return ['without ', 'with ']
    .map((start) => [start, group(start)] as const)
    .filter(([, text]) => text !== '')
    .map(([start, text]) => start + text)
    .join(', ')
}
