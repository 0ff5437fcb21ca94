/** Keys that have no effect at present: greyed, with the reason as a tip and for screen readers. Pure. */
import type { Preset } from '../../life/types.ts'

const modes: Record<Preset['air']['mode'], string> = {
  constant: 'a constant rate',
  moving: 'moving air',
  still: 'still air over a disc',
  layer: 'a layer of air',
}

const onlyWith =
  (mode: Preset['air']['mode']) =>
  ({ air }: Preset): string =>
    air.mode === mode ? '' : `Not used: evaporation is set to ${modes[air.mode]}.`

const still = ({ mechanisms }: Preset): string =>
  mechanisms.evaporation ? '' : 'Not used: evaporation is switched off (Mechanisms).'

const reasons: Record<string, (preset: Preset) => string> = {
  'air.mode': still,
  'air.constantRate_umPerS': (preset) => still(preset) || onlyWith('constant')(preset),
  'air.filmCoefficient_mmPerS': (preset) =>
    still(preset) ||
    onlyWith('moving')(preset) ||
    (preset.air.speed_mPerS === undefined ? '' : 'Not used: the coefficient comes from the air speed below.'),
  'air.speed_mPerS': (preset) => still(preset) || onlyWith('moving')(preset),
  'air.enhancement': (preset) => still(preset) || onlyWith('still')(preset),
  'air.layer_mm': (preset) => still(preset) || onlyWith('layer')(preset),
  'air.relativeHumidity': (preset) =>
    still(preset) ||
    (preset.air.mode === 'constant' ? 'Not used: at a constant rate water stays in the drop.' : ''),
  'model.gammaEff_mNperM': ({ mechanisms }) =>
    mechanisms.levelling ? '' : 'Not used: levelling is switched off (Mechanisms).',
}

export const pathsWithoutEffect: readonly string[] = Object.keys(reasons)

/** Why a key has no effect with this preset; '' if it has. */
export const whyNoEffect = (path: string, preset: Preset): string => reasons[path]?.(preset) ?? ''
