/** What-ifs: one change to the drop as the user set it, and what became of both. Pure. */
import { drawnToPoint } from '../../life/mechanisms.ts'
import { type Leaf, presetToLink, setKeys } from '../../life/preset.ts'
import type { Life, Preset } from '../../life/types.ts'
import { duration, length } from '../format.ts'
import type { State } from '../store.ts'

export interface Question {
  name: string
  changes: readonly (readonly [string, Leaf])[]
  /** Whether the change means something for this drop. */
  fits?(base: Preset): boolean
}

/** Nothing leaves this drop as it is. */
const loses = ({ air }: Preset): boolean =>
  air.mode === 'constant'
    ? air.constantRate_umPerS > 0
    : air.mode === 'still' || air.speed_mPerS !== undefined || air.filmCoefficient_mmPerS > 0

/** The oil takes up alcohol. The reference liquids have none that it could, unless it is given. */
const drinks = ({ drop, bath }: Preset): boolean =>
  drop.alcohol === 'reference'
    ? (bath.solubility ?? 0) > 0
    : bath.solubility !== 0 && bath.alcoholDiffusivity_m2PerS !== 0

const off = (name: string): readonly [string, Leaf] => [`mechanisms.${name}`, false]

export const QUESTIONS: readonly Question[] = [
  { name: 'What if nothing evaporated?', changes: [off('evaporation')], fits: loses },
  { name: 'What if the oil took up nothing?', changes: [off('uptake')], fits: drinks },
  {
    name: 'What if nothing left the drop?',
    changes: [off('evaporation'), off('uptake')],
    fits: (base) => loses(base) && drinks(base),
  },
  {
    name: 'What if evaporation did not cool?',
    changes: [off('cooling')],
    fits: (base) => loses(base) && base.drop.alcohol !== 'reference',
  },
  { name: 'What if the upper face kept its tension?', changes: [off('tensionAbove')] },
  { name: 'What if the lower face kept its tension?', changes: [off('tensionBelow')] },
  {
    name: 'What if both faces kept their tension?',
    changes: [off('tensionAbove'), off('tensionBelow')],
  },
  { name: 'What if the oil dragged far less?', changes: [off('bathDrag')] },
  { name: 'What if nothing levelled the film?', changes: [off('levelling')] },
  { name: 'Oil like honey (5 Pa·s)?', changes: [['bath.viscosity_mPas', 5000]] },
  { name: 'Only 2 mm of oil?', changes: [['bath.depth_mm', 2]], fits: ({ bath }) => bath.depth_mm > 2 },
  { name: 'With break-up of the ring', changes: [['ring.breakUp', true]] },
  { name: 'Without break-up of the ring', changes: [['ring.breakUp', false]] },
]

/** The drop as the user set it. */
export const baseOf = ({ preset, whatIf }: Pick<State, 'preset' | 'whatIf'>): Preset => whatIf?.base ?? preset

/** The changed drop; null where the question changes nothing. */
export function variantOf(base: Preset, { changes, fits }: Question): Preset | null {
  if (fits && !fits(base)) return null
  const made = setKeys(base, changes)
  return made.ok && presetToLink(made.preset) !== presetToLink(base) ? made.preset : null
}

/** What becomes of a drop, said of "it". */
export function courseWords(life: Life): string {
  const { outcome, maxRadius, maxRadiusTime, lifeEnd } = life.summary
  const far = `spreads to a radius of ${length(maxRadius)} in ${duration(maxRadiusTime)}`
  const end = duration(lifeEnd)
  const growing = (life.series.U.at(-1) ?? 0) > 0
  const words: Record<typeof outcome, string> = {
    lens: drawnToPoint(life) ? 'is drawn together to a point' : 'stays a lens',
    spreads: growing
      ? `is still growing after ${end}, at ${length(maxRadius)}; what comes then is not computed`
      : `${far} and is still spread after ${end}; what comes then is not computed`,
    recedes: `${far} and draws back`,
    sheds: `${far} and sheds child drops`,
    dries: `${far} and dries there`,
    'reaches-wall': `reaches the wall of the dish after ${end}`,
    failed: 'could not be followed to its end',
  }
  return words[outcome]
}

/** Both courses, as far as they are known; '' outside a what-if. */
export function besideWords({
  whatIf,
  life,
  stale,
  pins,
}: Pick<State, 'whatIf' | 'life' | 'stale' | 'pins'>): string {
  if (!whatIf) return ''
  const of = presetToLink(whatIf.base)
  const base = pins.find((pin) => presetToLink(pin.life.preset) === of)?.life
  const own = base ? `As you set it, the drop ${courseWords(base)}. ` : ''
  if (stale || life?.status !== 'done') return `${whatIf.name} ${own}The change is being worked out.`
  return `${whatIf.name} ${own}With this change it ${courseWords(life)}.`
}
