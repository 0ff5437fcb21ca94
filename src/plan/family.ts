/** Lives of a row of drops, such as one drop at several strengths, or one drop for each measured curve. */
import type { LifeErrors } from '../life/errors.ts'
import type { LifeRunner } from '../life/lives.ts'
import { setKeys } from '../life/preset.ts'
import type { Life, Preset, Problem } from '../life/types.ts'
import { figure, given } from './figures.ts'
import { itemOfLife, type ScalingItem } from './scalingItem.ts'
import { type RunLike, Work, type WorkHooks } from './work.ts'

/** A drop whose life is wanted. */
export interface Wanted {
  id: string
  name: string
  preset: Preset
  /** One of a row of strengths. */
  inRow: boolean
}

export interface Family {
  items: ScalingItem[]
  /** Drops without a life, and why. */
  failures: { name: string; reason: string }[]
  status: 'done' | 'stopped'
}

/** Estimates the numerical errors of a life with companions that `run` computes; null if it was stopped. */
export type Estimate = (life: Life, run: LifeRunner) => Promise<LifeErrors | null> | LifeErrors | null

/** The lives, each at its preset's accuracy and with its numerical error. */
export async function familyOf(
  wanted: readonly Wanted[],
  run: RunLike,
  estimate: Estimate,
  hooks: WorkHooks = {},
): Promise<Family> {
  const work = new Work(run, { ...hooks, whole: true }, wanted.length)
  const items: ScalingItem[] = []
  const failures: Family['failures'] = []
  const foresee = ({ preset }: Wanted) => {
    work.foresee(preset)
    work.foreseeErrors(preset)
  }
  for (const one of work.over(wanted, foresee)) {
    const life = await work.life(one.preset)
    const errors = life && (await estimate(life, work.beside))
    if (work.stopped || hooks.cancelled?.()) return { items, failures, status: 'stopped' }
    if (life) items.push(itemOfLife(life, one, errors?.maxRadiusError ?? Number.NaN))
    else failures.push({ name: one.name, reason: work.failures.at(-1) ?? 'no reason was given' })
  }
  return { items, failures, status: 'done' }
}

/** Most strengths in a row. */
export const MOST_STRENGTHS = 41

export type StrengthsResult = { ok: true; strengths: number[] } | { ok: false; problems: Problem[] }

/** Evenly spaced mass fractions from one end to the other. */
export function evenStrengths(from: number, to: number, count: number): StrengthsResult {
  const problems: Problem[] = []
  const add = (where: string, message: string) => problems.push({ where, message })
  for (const [where, value] of [
    ['from', from],
    ['to', to],
  ] as const) {
    if (!(value >= 0 && value <= 1))
      add(where, `${figure(100 * value)} % by mass cannot be. Permitted: 0 to 100 %.`)
  }
  if (!Number.isInteger(count) || count < 2 || count > MOST_STRENGTHS)
    add('count', `${given(count)} lives. Permitted: whole numbers from 2 to ${MOST_STRENGTHS}.`)
  if (from === to) add('to', 'The ends must differ.')
  if (problems.length > 0) return { ok: false, problems }
  const strengths = Array.from({ length: count }, (_, k) =>
    Number((from + ((to - from) * k) / (count - 1)).toPrecision(6)),
  )
  return { ok: true, strengths }
}

export type WantedResult = { ok: true; wanted: Wanted[] } | { ok: false; problems: Problem[] }

/** One drop at several strengths (mass fractions; with the closed-form liquids the fraction itself). */
export function atStrengths(preset: Preset, strengths: readonly number[], label = ''): WantedResult {
  const wanted: Wanted[] = []
  const problems: Problem[] = []
  for (const strength of strengths) {
    const made = setKeys(preset, [['drop.alcoholMassFraction', strength]])
    if (!made.ok) problems.push(...made.problems)
    else {
      const name = `${label}${given(Number((100 * strength).toPrecision(4)))} %`
      wanted.push({ id: `row ${label}${strength}`, name, preset: made.preset, inRow: true })
    }
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, wanted }
}
