/** What the measuring of two volumes does to the strength. Pure. */

/** A measuring device. The error of a volume V is absolute_mL + relative · V (limit of error, as its maker states it). */
export interface Pipette {
  /** Smallest volume that it can measure, mL. */
  smallest_mL: number
  /** Fixed part of the error, mL. */
  absolute_mL: number
  /** Part of the error that grows with the volume, as a fraction. */
  relative: number
}

/** Graduated pipette of 10 mL, class B: limit of error 0.1 mL by ISO 835 (from memory). Smallest volume: common practice, no source. */
export const GRADUATED_PIPETTE: Pipette = { smallest_mL: 1, absolute_mL: 0.1, relative: 0 }

/** The two amounts of a mixing, as measured: volumes in mL, masses in g. */
export interface Amounts {
  stock_mL: number
  stock_g: number
  water_mL: number
  water_g: number
  /** Alcohol mass fraction of the stock. */
  stockMass: number
}

export interface PipetteErrors {
  /** Errors of the two volumes, mL; 0 for a volume of 0. */
  stock_mL: number
  water_mL: number
  /** Error of the strength, mass fraction: if both volumes err by their limits in the worst sense … */
  largest: number
  /** … and if the two errors are independent (root of the sum of squares). */
  likely: number
  /** Smallest volume of mixture (as a multiple of the given one) for which no amount is below the smallest. */
  smallestMultiple: number
  /** Amounts that are too small for this pipette. */
  tooSmall: ('stock' | 'water')[]
}

const errorOf = (pipette: Pipette, volume_mL: number): number =>
  volume_mL > 0 ? pipette.absolute_mL + pipette.relative * volume_mL : 0

/** Errors that a pipette brings to a mixing of stock and water. */
export function pipetteErrors(amounts: Amounts, pipette: Pipette): PipetteErrors {
  const { stock_mL, stock_g, water_mL, water_g, stockMass } = amounts
  const total = stock_g + water_g
  const errors = { stock_mL: errorOf(pipette, stock_mL), water_mL: errorOf(pipette, water_mL) }
  // w = w_s m_s/(m_s + m_w): ∂w/∂m_s = w_s m_w/m², ∂w/∂m_w = −w_s m_s/m²; mass per volume of each liquid.
  const byStock =
    stock_mL > 0 ? ((stockMass * water_g) / total ** 2) * errors.stock_mL * (stock_g / stock_mL) : 0
  const byWater =
    water_mL > 0 ? ((stockMass * stock_g) / total ** 2) * errors.water_mL * (water_g / water_mL) : 0
  const measured = [stock_mL, water_mL].filter((v) => v > 0)
  const tooSmall: PipetteErrors['tooSmall'] = []
  if (stock_mL > 0 && stock_mL < pipette.smallest_mL) tooSmall.push('stock')
  if (water_mL > 0 && water_mL < pipette.smallest_mL) tooSmall.push('water')
  return {
    ...errors,
    largest: byStock + byWater,
    likely: Math.hypot(byStock, byWater),
    smallestMultiple: pipette.smallest_mL / Math.min(...measured),
    tooSmall,
  }
}
