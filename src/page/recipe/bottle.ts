/** What the user has at hand and wants to make; kept in this browser. */
import * as v from 'valibot'
import type { Preset } from '../../life/types.ts'
import { GRADUATED_PIPETTE, type Pipette } from '../../plan/pipette.ts'
import type { Strength } from '../../plan/strength.ts'

export interface Bottle {
  stock: Strength
  /** Strength to be made; null = that of the present drop. */
  want: Strength | null
  mixture_mL: number
  pipette: Pipette
  /** Of the camera: pictures over the life, pixels across the shorter side. */
  frames: number
  pixels: number
}

/** A shop bottle of 96 % by volume; amounts and camera: common practice, no source. */
export const plainBottle: Bottle = {
  stock: { by: 'volume', value: 96 },
  want: null,
  mixture_mL: 50,
  pipette: GRADUATED_PIPETTE,
  frames: 200,
  pixels: 1080,
}

const number = v.pipe(v.number(), v.finite())
const strength = v.object({ by: v.picklist(['mass', 'volume', 'mole']), value: number })
const shape = v.object({
  stock: strength,
  want: v.nullable(strength),
  mixture_mL: number,
  pipette: v.object({ smallest_mL: number, absolute_mL: number, relative: number }),
  frames: number,
  pixels: number,
})

const storageKey = 'rimtide.bottle'

/** The bottle of the last visit; the plain one if there is none or it cannot be read. */
export function rememberedBottle(): Bottle {
  try {
    const read = v.safeParse(shape, JSON.parse(localStorage.getItem(storageKey) ?? 'null'))
    return read.success ? read.output : plainBottle
  } catch {
    return plainBottle
  }
}

export function rememberBottle(bottle: Bottle): void {
  try {
    localStorage.setItem(storageKey, JSON.stringify(bottle))
  } catch {
    // A refused storage only means that the bottle is asked for again next time.
  }
}

/** The strength to be made. */
export const wantOf = ({ want }: Bottle, preset: Preset): Strength =>
  want ?? { by: 'mass', value: preset.drop.alcoholMassFraction }

const measures: Record<Strength['by'], (value: number) => string> = {
  volume: (value) => `${Number(value.toPrecision(4))} %vol`,
  mass: (value) => `${Number((100 * value).toPrecision(4))} % by mass`,
  mole: (value) => `${Number((100 * value).toPrecision(4))} % by mole`,
}

/** "96 %vol", "50 % by mass". */
export const shortStrength = ({ by, value }: Strength): string => measures[by](value)
