/**
 * Mechanisms that are switched off (`mechanisms.*` of a preset). Each is a limit of the same equations: curves that no
 * longer depend on the composition, or a number taken toward its end. Nothing in the solver asks for them.
 */
import { KEYS, type SwitchKey } from './keys.ts'
import type { Life, Preset } from './types.ts'

/**
 * Viscosity, Pa·s, of an oil whose drag is switched off: a tenth, but not less than 5 mPa·s. The limit without any is no
 * answer: the pull at the edge is that of a line, and oil that has only inertia would move under that line alone, in a layer
 * without thickness (u = F/√(ηo ρo s) at the rate s), so that the cells and the number of the bath's fields made the result.
 * So it is found: on oils of 5 mPa·s and more R(t) of the accuracies agrees within 1 %, at 2.5 mPa·s within 25 %.
 */
export const draggedLess = (viscosity: number): number => Math.max(0.1 * viscosity, Math.min(viscosity, 5e-3))

/** The curves that a limit changes, functions of the alcohol volume fraction φ; units as in CLOSURE. */
export interface Limit {
  phi0: number
  gammaA(phi: number): number
  gammaI(phi: number): number
  alcoholLoss(phi: number): number
  waterLoss(phi: number): number
}

const nothing = (): number => 0

/** A curve flattened to its value at φ0. */
function flat(curve: (phi: number) => number, phi0: number): () => number {
  const value = curve(phi0)
  return () => value
}

/**
 * The curves with which a drop is computed. A tension that is flattened is flattened wherever it stands: in the film's
 * own flow, in S (hence in the pull of the edge and on the bath) and in γ_eff, so that the energy of the faces stays one.
 */
export function limitOf(curves: Limit, on: Preset['mechanisms']): Limit {
  const { phi0, gammaA, gammaI, alcoholLoss, waterLoss } = curves
  return {
    phi0,
    gammaA: on.tensionAbove ? gammaA : flat(gammaA, phi0),
    gammaI: on.tensionBelow ? gammaI : flat(gammaI, phi0),
    alcoholLoss: on.evaporation ? alcoholLoss : nothing,
    waterLoss: on.evaporation ? waterLoss : nothing,
  }
}

/**
 * Whether a drop of this volume (m³) and radius (m) stands higher than wide (a parabola as high as its radius). Without
 * levelling nothing stops a drop that the tensions draw together; from here on it is no film, and is not followed.
 */
export const standsHigh = (volume: number, R: number): boolean => volume > 0.5 * Math.PI * R * R * R

/** Whether a life without levelling ended so. */
export function drawnToPoint({ preset, series }: Pick<Life, 'preset' | 'series'>): boolean {
  if (preset.mechanisms.levelling) return false
  return (series.U.at(-1) ?? 0) < 0 && standsHigh(series.volume.at(-1) ?? 0, series.R.at(-1) ?? 0)
}

const GROUP = 'mechanisms.'
const MECHANISMS = KEYS.filter((key): key is SwitchKey => key.kind === 'switch' && key.path.startsWith(GROUP))

const switchedOff = ({ mechanisms }: Pick<Preset, 'mechanisms'>): SwitchKey[] =>
  MECHANISMS.filter(
    ({ path }) => mechanisms[path.slice(GROUP.length) as keyof Preset['mechanisms']] === false,
  )

/** Names of what is switched off, as in the keys: ["evaporation"]. */
export const offNames = (preset: Pick<Preset, 'mechanisms'>): string[] =>
  switchedOff(preset).map(({ path }) => path.slice(GROUP.length))

const named = ({ label, off }: SwitchKey): string => off ?? label.charAt(0).toLowerCase() + label.slice(1)

/** "evaporation and tension gradient above the film"; '' if all is on. */
export function offWords(preset: Pick<Preset, 'mechanisms'>): string {
  const names = switchedOff(preset).map(named)
  const last = names.pop() ?? ''
  return names.length > 0 ? `${names.join(', ')} and ${last}` : last
}

/** What must be told with every result of a drop of which something is switched off; '' if all is on. */
export function offNotice(preset: Pick<Preset, 'mechanisms'>): string {
  const words = offWords(preset)
  return words && `Made with ${words} switched off: not a forecast of a real drop.`
}
