/** Curves of the liquids over the composition, tabulated; kept for the next lives with the same liquids. */
import { CLOSURE } from '../model/problem.ts'
import { CurveSet } from '../numerics/curveSet.ts'
import { limitOf } from './mechanisms.ts'
import type { Pairing } from './pairing.ts'
import type { LiquidFacts, Preset } from './types.ts'

export interface LiquidCurves {
  /** With what is switched off being off: what the engine is given. */
  closures: CurveSet
  /** φ below which S of the closures is negative; NaN if it does not change its sign. */
  dryPhi: number
  /** Mass fraction below which S of the liquids is negative, whatever is switched off; NaN as above. */
  criticalMassFraction: number
  /** For plots; shared between lives. */
  curve: LiquidFacts['curve']
}

/** So many sets are kept: enough for the neighbours of one drop. Each takes some 130 kB. */
const MOST = 12

const kept = new Map<string, LiquidCurves>()

/**
 * Names what the curves depend on: all of a preset but the sizes of drop and dish, the strength and the calculation. With
 * a tension that is held as at touch-down they depend on the strength, too.
 */
function nameOf(
  { drop, bath, air, interface: face, model, mechanisms, liquids }: Preset,
  flat: boolean,
): string {
  const { volume_uL: _v, startRadius_mm: _r, alcoholMassFraction, ...liquid } = drop
  const { depth_mm: _d, dishRadius_mm: _w, ...oil } = bath
  const room = [air.temperature_C, air.relativeHumidity, air.mode === 'constant']
  const strength = flat ? alcoholMassFraction : null
  return JSON.stringify([liquid, oil, room, face, model.gammaEff_mNperM, mechanisms, strength, liquids])
}

/**
 * @param solubility of the alcohol in the oil, volume per volume
 * @param viscosity of the drop as a function of φ, Pa·s
 * @param levelling the tension with which curvature levels, N/m; null: γa γi/(γa + γi)
 */
export function liquidCurves(
  preset: Preset,
  pairing: Pairing,
  given: { solubility: number; viscosity(phi: number): number; levelling: number | null },
): LiquidCurves {
  const { tensionAbove, tensionBelow } = preset.mechanisms
  const name = nameOf(preset, !(tensionAbove && tensionBelow))
  const known = kept.get(name) ?? tabulated(preset, pairing, given)
  // The one that was asked for last is the last to go.
  kept.delete(name)
  kept.set(name, known)
  if (kept.size > MOST) kept.delete(kept.keys().next().value!)
  return known
}

function tabulated(
  { mechanisms }: Preset,
  pairing: Pairing,
  { solubility, viscosity, levelling: fixed }: Parameters<typeof liquidCurves>[2],
): LiquidCurves {
  const { gammaO, volumeFraction } = pairing
  const curvesOf = ({ gammaA, gammaI, alcoholLoss, waterLoss }: ReturnType<typeof limitOf>) => {
    const levelling = (phi: number) => {
      if (!mechanisms.levelling) return 0
      if (fixed !== null) return fixed
      const a = gammaA(phi)
      const i = gammaI(phi)
      return (a * i) / (a + i)
    }
    const spreading = (phi: number) => gammaO - gammaA(phi) - gammaI(phi)
    return new CurveSet([
      gammaA,
      spreading,
      levelling,
      viscosity,
      alcoholLoss,
      waterLoss,
      pairing.diffusivity,
      (phi) => solubility * pairing.activity(phi),
    ])
  }
  const closures = curvesOf(limitOf(pairing, mechanisms))
  // The facts are those of the liquids, whatever is switched off: the threshold of the strengths is theirs.
  const flat = !(mechanisms.tensionAbove && mechanisms.tensionBelow)
  const liquids = flat ? curvesOf(pairing) : closures
  const spreadingOf = (curves: CurveSet) => (w: number) => curves.at(volumeFraction(w), CLOSURE.spreading)
  const critical = crossing(spreadingOf(liquids))
  const w = Float64Array.from({ length: 101 }, (_, i) => i / 100)
  return {
    closures,
    dryPhi: volumeFraction(flat ? crossing(spreadingOf(closures)) : critical),
    criticalMassFraction: critical,
    curve: {
      w,
      S: w.map(spreadingOf(liquids)),
      gammaA: w.map((x) => pairing.gammaA(volumeFraction(x))),
      gammaI: w.map((x) => pairing.gammaI(volumeFraction(x))),
    },
  }
}

/** Smallest w in (0, 1) at which S rises through zero; NaN if it does not. */
function crossing(S: (w: number) => number): number {
  let low = 0
  if (S(0) > 0) return 0
  for (let k = 1; k <= 200; k++) {
    if (S(k / 200) > 0) {
      let high = k / 200
      for (let n = 0; n < 50; n++) {
        const middle = (low + high) / 2
        if (S(middle) > 0) high = middle
        else low = middle
      }
      return high
    }
    low = k / 200
  }
  return Number.NaN
}
