/** What a lab sheet is made from, and what it is: rows for the eye, the numbers behind them. */
import type { Life, Problem } from '../../life/types.ts'
import type { BeadFacts, CalculatedBeads } from '../beads.ts'
import type { CameraPlan } from '../camera.ts'
import type { Dish } from '../dish.ts'
import { figure } from '../figures.ts'
import type { NearestChange } from '../nearestChange.ts'
import type { Pipette } from '../pipette.ts'
import type { Recipe } from '../recipe.ts'
import type { Strength } from '../strength.ts'
import type { SureBand } from '../sureness.ts'

export interface SheetRow {
  label: string
  value: string
  unit: string
  note: string
}

export interface SheetSection {
  title: string
  rows: SheetRow[]
}

export interface SheetWish {
  /** The whole life of the drop, with real liquids. */
  life: Life
  stock: Strength
  /** Volume of mixture to make, mL. */
  mixture_mL: number
  frames: number
  /** Pixels across the shorter side of the picture. */
  pixels: number
  /** Neighbouring lives and compared dishes, if they were run. */
  band?: SureBand
  dish?: Dish
  pipette?: Pipette
  /** For a drop that stays a lens: what would make it spread. */
  nearest?: NearestChange
  /** How the rim breaks, if it was calculated; else the life's own estimate is told. */
  fingers?: CalculatedBeads | null
}

/** The numbers behind the rows. NaN where there is none. */
export interface SheetFigures {
  recipe: Recipe
  dropsPer_mL: number
  oil_mL: number
  oil_g: number
  maxRadius_mm: { low: number; central: number; high: number }
  maxRadiusTime_s: number
  collapseTime_s: number
  lifeEnd_s: number
  /** Smallest dish radius that does not disturb, mm, and how it was found. */
  smallestDish_mm: number
  smallestDishBy: string
  camera: CameraPlan
  /** Null if nothing is told of them. */
  beads: BeadFacts | null
}

export interface LabSheet {
  title: string
  note: string
  /** What must stand over everything in large letters; '' if nothing must. */
  notice: string
  sections: SheetSection[]
  figures: SheetFigures
}

export type SheetResult = { ok: true; sheet: LabSheet } | { ok: false; problems: Problem[] }

/** A row; numbers with three digits, without a unit where there is none. */
export const row = (label: string, value: string | number, unit = '', note = ''): SheetRow => ({
  label,
  value: typeof value === 'number' ? figure(value) : value,
  unit: typeof value === 'number' && !Number.isFinite(value) ? '' : unit,
  note,
})
