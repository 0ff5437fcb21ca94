/**
 * Activity coefficients of alcohol (1) and water (2) from room temperature to the boiling point.
 *
 * Constants from boiling points overstate a dilute alcohol at room temperature (ethanol 5.4 against 3.70, 2-propanol
 * 9.9 against 7.5). So van Laar's two constants move with 1/T, and the dilute end is led to its Henry constant by a term
 *   g = C x (1−x)^m in G^E/RT,   ln γ1 += C (1−x)^m (1 − m x),   ln γ2 += C m x² (1−x)^(m−1)
 * (derived from g, hence consistent with Gibbs and Duhem at each temperature), C the difference of ln γ1∞ and A.
 */
import { exp, pow } from '../numerics/elementary.ts'
import { clampFraction, T25 } from './constants.ts'
import type { VanLaar } from './vanLaar.ts'

export interface Activities {
  /** From boiling points at 1 atm; they hold from the lowest boiling point, `from` (K), upwards. */
  boiling: VanLaar & { from: number }
  /** At 25 °C; `dilute` is ln γ1∞, from the Henry constant. */
  room: VanLaar & { dilute: number }
  /** Slopes over 1/T at 25 °C, K: excess enthalpy at infinite dilution over the gas constant. */
  slope: VanLaar & { dilute: number }
}

/** m of the dilute term: from the partial pressures over ethanol–water at 25 °C (8 leaves 1.3 %; 6 to 12 at most 1.8 %). */
const REACH = 8

/** Makes the activity coefficients [alcohol, water] of mole fraction x (clamped to 0–1) and T (K). */
export function activities({ boiling, room, slope }: Activities): (x: number, T: number) => [number, number] {
  const step = 1 / T25 - 1 / boiling.from
  const way = (hot: number, cold: number, rise: number) => between(hot, cold, rise * step)
  const A = way(boiling.A, room.A, slope.A)
  const B = way(boiling.B, room.B, slope.B)
  const dilute = way(boiling.A, room.dilute, slope.dilute)
  return (x, T) => {
    const s = (1 / T - 1 / boiling.from) / step
    const a = A(s)
    return coefficients(a, B(s), dilute(s) - a, clampFraction(x))
  }
}

/** From `hot` at s ≤ 0 (level) to `cold` at s = 1 (with slope m), a cubic between, straight on beyond: no kink. */
function between(hot: number, cold: number, m: number): (s: number) => number {
  const d = cold - hot
  return (s) => {
    if (s <= 0) return hot
    if (s >= 1) return cold + m * (s - 1)
    return hot + s * s * (3 * d - m + (m - 2 * d) * s)
  }
}

function coefficients(A: number, B: number, C: number, x: number): [number, number] {
  const rest = 1 - x
  const s = A * x + B * rest
  const [p, q] = [(B * rest) / s, (A * x) / s]
  const tail = C === 0 ? 0 : C * pow(rest, REACH - 1)
  return [exp(A * p * p + tail * rest * (1 - REACH * x)), exp(B * q * q + tail * REACH * x * x)]
}

/** Volume of a mole of water at 25 °C, m³/mol (IAPWS density). */
const WATER_VOLUME = 18.0687e-6

/** γ1∞ in water at 25 °C from a Henry constant in mol/(m³ Pa) and the alcohol's vapour pressure in Pa: 1/(H p V). */
export const diluteCoefficient = (henry: number, pressure: number): number =>
  1 / (henry * pressure * WATER_VOLUME)
