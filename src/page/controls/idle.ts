/** Keys that have no effect at present: greyed, with the reason as a tip and for screen readers. Pure. */
import type { Preset } from '../../life/types.ts'

const modes: Record<Preset['air']['mode'], string> = {
  constant: 'a constant rate',
  moving: 'moving air',
  still: 'still air over a disc',
}

const onlyWith =
  (mode: Preset['air']['mode']) =>
  ({ air }: Preset): string =>
    air.mode === mode ? '' : `Not used: evaporation is by ${modes[air.mode]}.`

const reasons: Record<string, (preset: Preset) => string> = {
  'air.constantRate_umPerS': onlyWith('constant'),
  'air.filmCoefficient_mmPerS': (preset) =>
    onlyWith('moving')(preset) ||
    (preset.air.speed_mPerS === undefined ? '' : 'Not used: the coefficient comes from the air speed below.'),
  'air.speed_mPerS': onlyWith('moving'),
  'air.enhancement': onlyWith('still'),
  'air.relativeHumidity': ({ air }) =>
    air.mode === 'constant' ? 'Not used: at a constant rate water stays in the drop.' : '',
}

export const idlePaths: readonly string[] = Object.keys(reasons)

/** Why a key has no effect with this preset; '' if it has. */
export const idleReason = (path: string, preset: Preset): string => reasons[path]?.(preset) ?? ''
