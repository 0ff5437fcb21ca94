/** What several exercises share: drops to begin with, changes in words, what a life did. Pure. */
import { HELD } from '../../../life/held.ts'
import { KEYS, keyOf } from '../../../life/keys.ts'
import { getKey, type Leaf, setKeys } from '../../../life/preset.ts'
import type { Life, Preset } from '../../../life/types.ts'
import { thresholdOf } from '../../../plan/threshold.ts'
import { scaleOf, withUnit } from '../../controls/scale.ts'
import { duration, plain } from '../../format.ts'
import type { Lives, Verdict } from './types.ts'

export type Change = readonly [path: string, value: Leaf | null]

/** The drop with changes; the drop itself where they break a rule. */
export function changed(preset: Preset, ...changes: Change[]): Preset {
  const made = setKeys(preset, changes)
  return made.ok ? made.preset : preset
}

export const STRENGTH = 'drop.alcoholMassFraction'
const MECHANISMS = KEYS.filter(({ path }) => path.startsWith('mechanisms.')).map(
  ({ path }): Change => [path, true],
)

/** The user's drop with all mechanisms at work and the computed time left to the program. */
export const whole = (own: Preset): Preset => changed(own, ...MECHANISMS, ['model.horizon_s', null])

/** Strengths come in steps of half a per cent, as on the slider. */
const step = (strength: number): number => Math.round(200 * Math.min(Math.max(strength, 0), 1)) / 200

export const withStrength = (preset: Preset, strength: number): Preset =>
  changed(preset, [STRENGTH, Number(Math.min(Math.max(strength, 0), 1).toFixed(4))])

/** Clear of the threshold by this much at least, as mass fraction. */
const CLEAR = 0.08

/** The user's drop, strong enough to spread well if any strength does. */
export function spreading(own: Preset): Preset {
  const drop = whole(own)
  const { kind, massFraction } = thresholdOf(drop)
  if (kind !== 'between' || drop.drop.alcoholMassFraction >= massFraction + CLEAR) return drop
  return withStrength(drop, step(massFraction + 0.35 * (1 - massFraction)))
}

/** Why nothing can be done with this pair of liquids; '' if it spreads from some strength on. */
export function neverSpreads(start: Preset): string {
  const { kind, words } = thresholdOf(start)
  return kind === 'never' ? `${words} Choose another oil or alcohol first.` : ''
}

function valueWords(preset: Preset, path: string): string {
  const key = keyOf(path)
  const value = getKey(preset, path)
  if (value === undefined || !key) return 'from the liquids'
  if (key.kind === 'switch') return value ? 'on' : 'off'
  if (key.kind === 'choice')
    return key.options.find((option) => option.value === value)?.label ?? String(value)
  return withUnit(value as number, scaleOf(key))
}

/** Paths of the keys in which two drops differ. */
export const differing = (a: Preset, b: Preset): string[] =>
  KEYS.map(({ path }) => path).filter((path) => getKey(a, path) !== getKey(b, path))

/** "Strength (by mass): 90 %, Dish radius: 30 mm". */
export const settingWords = (preset: Preset, paths: readonly string[]): string =>
  paths.map((path) => `${keyOf(path)?.label ?? path}: ${valueWords(preset, path)}`).join(', ')

/** What was changed that the exercise does not allow, in whole sentences; '' if nothing. */
export function strayed(start: Preset, drop: Preset, may: (path: string) => boolean): string {
  const wrong = differing(start, drop).filter((path) => !may(path))
  if (wrong.length === 0) return ''
  const moved = wrong.map(
    (path) => `${keyOf(path)?.label ?? path} (${valueWords(start, path)} → ${valueWords(drop, path)})`,
  )
  return `This exercise leaves some things as they were, and you changed: ${moved.join(', ')}. Put that back first.`
}

export const spreads = ({ summary }: Life): boolean =>
  summary.outcome !== 'lens' && summary.outcome !== 'failed'

/** Whether a drop still grows where its calculation ends. */
export const growsOn = ({ summary, series }: Life): boolean =>
  summary.outcome === 'spreads' && (series.U.at(-1) ?? 0) * summary.lifeEnd > HELD * (series.R.at(-1) ?? 0)

/** What keeps a judge from judging: a life that failed. Null if none did. */
export function brokenLife(lives: Lives): Verdict | null {
  const broken = Object.values(lives).find(({ summary }) => summary.outcome === 'failed')
  return broken
    ? {
        done: false,
        say: `A life that this needs could not be followed beyond ${duration(broken.summary.lifeEnd)}, so nothing can be judged. Change the drop a little and check again.`,
      }
    : null
}

/** "+1.3 mN/m", "−0.8 mN/m". */
export const spreadingWords = ({ facts }: Life): string =>
  `${facts.S0 > 0 ? '+' : ''}${plain(1e3 * facts.S0, 2)} mN/m`

/** Of a drop that was to spread and does not. */
export const staysLens = (life: Life): string =>
  life.facts.S0 < 0
    ? `It stays a lens: the two faces of the drop pull harder than the oil (S is ${spreadingWords(life)}, and must be above 0).`
    : `It stays a lens in the time that is computed, though the oil already pulls harder (S is ${spreadingWords(life)}).`

export const strengthWords = (preset: Preset): string =>
  `${plain(100 * preset.drop.alcoholMassFraction, 3)} %`
