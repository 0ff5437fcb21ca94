/** What a step of the explanation is made of. SI units where nothing else is said. */
import type { ColourBy } from '../store.ts'

/** A curve over r/R (0–1) or over time (s); points in the unit of its label. */
export interface Curve {
  over: 'radius' | 'time'
  /** What and in which unit: "thickness, µm". */
  label: string
  x: number[]
  y: number[]
  logarithmic: boolean
  /** The point that the text names. */
  mark?: { x: number; y: number; label: string }
}

export interface Option {
  text: string
  /** What helps whoever chose it and is wrong; '' for the right one. */
  hint: string
}

export interface ChoiceQuestion {
  kind: 'choice'
  text: string
  /** 2 to 4, one of them right. */
  options: Option[]
  right: number
}

export interface NumberQuestion {
  kind: 'number'
  text: string
  unit: string
  right: number
  /** From the lowest to the highest that counts as right. */
  accept: readonly [number, number]
  /** How near is near enough, as it is said beside the field. */
  tolerance: string
  hint: { low: string; high: string }
}

export interface CurveQuestion {
  kind: 'curve'
  text: string
  /** The computed curve, over r/R. */
  curve: Curve
  /** Top of the empty plot. */
  top: number
  /** How far in r/R the highest point may be off. */
  within: number
  tolerance: string
}

export type Question = ChoiceQuestion | NumberQuestion | CurveQuestion

/** The budget of a ring as a picture: arrows with their sizes (nL/s, positive as drawn) and what they do (µm/s). */
export interface BudgetPicture {
  arrows: { key: 'in' | 'out' | 'vapour' | 'oil'; label: string; size: number; shown: string }[]
  /** Thickness at both sides, m. */
  thickness: readonly [number, number]
  alt: string
}

export interface Step {
  id: string
  /** What it is about; does not give the answer away. */
  title: string
  question: Question
  /** The right answer in a sentence. */
  answer: string
  /** One short text. */
  text: string
  facts: { name: string; value: string }[]
  curve: Curve
  picture?: BudgetPicture
  /** Moment, s, and place, m, that it speaks of; the place in words. */
  time: number
  radius: number
  place: string
  colourBy: ColourBy
}

export interface Story {
  steps: Step[]
  /** What does not happen in this life, one sentence each. */
  missing: string[]
}

/** A part of the story that this life has, or why it has not. */
export type Part = Step | { missing: string } | null
