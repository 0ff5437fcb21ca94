/** Molar gas constant, J/(mol·K). Exact since the SI of 2019. */
export const GAS_CONSTANT = 8.31446261815324

/** 0 °C in kelvin. */
export const ZERO_CELSIUS = 273.15

/** 20 °C in kelvin, the reference temperature of the tables. */
export const T20 = 293.15

/** 25 °C in kelvin. */
export const T25 = 298.15

/** Standard atmosphere, Pa. */
export const ATMOSPHERE = 101325

/** Holds a fraction within 0–1; the solver may ask for values a little outside. */
export const clampFraction = (w: number): number => Math.min(Math.max(w, 0), 1)
