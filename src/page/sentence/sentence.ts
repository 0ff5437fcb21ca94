/** The one plain sentence about the present drop, made from its life. Pure. */
import { HELD } from '../../life/held.ts'
import { drawnToPoint, offNotice } from '../../life/mechanisms.ts'
import type { Life } from '../../life/types.ts'
import { beadFacts } from '../../plan/beads.ts'
import { chanceSentence } from '../../plan/chanceWords.ts'
import type { NearestChange } from '../../plan/nearestChange.ts'
import type { Reach } from '../../plan/reach.ts'
import { AT_REST, count, duration, length, percent, plain, withError } from '../format.ts'
import { type Bottle, plainBottle, shortStrength } from '../recipe/bottle.ts'
import { type Neighbours, noNeighbours } from '../store.ts'
import { beadClause } from './beads.ts'

export interface Sentence {
  text: string
  /** The part of the text that carries a ±, if there is one; its reason can be asked for. */
  uncertain: string
  /** What to try; empty unless it is the first visit. */
  invitation: string
}

const basis = (life: Life): string => (life.preset.drop.alcohol === 'reference' ? 'by volume' : 'by mass')

const thresholdOf = ({ preset, facts }: Life): number =>
  preset.drop.alcohol === 'reference' ? facts.criticalPhi : facts.criticalMassFraction

/** Half of what a number moves with its uncertain inputs; NaN if that is not known. */
const halfOf = (reach: Reach | null | undefined): number =>
  reach ? (reach.high - reach.low) / 2 : Number.NaN

/** Uncertain inputs and numerical error together; NaN if neither is known. */
function radiusError({ summary }: Life, { band, radiusError: found }: Neighbours): number {
  const numerical = found >= 0 ? found : summary.maxRadiusError
  const parts = [halfOf(band?.reach.maxRadius), numerical].filter((part) => part >= 0)
  return parts.length > 0 ? Math.hypot(...parts) : Number.NaN
}

const widest = (life: Life, beside: Neighbours): string =>
  withError(life.summary.maxRadius * 1e3, radiusError(life, beside) * 1e3, 'mm')

function thinnest({ summary }: Life): string {
  const { thickness } = summary.thinnest
  return thickness > 0 ? `its film thins to ${length(thickness, 2)}` : ''
}

/** Parts joined as "a, b and c"; empty ones are left out. */
function listed(parts: string[]): string {
  const said = parts.filter((part) => part !== '')
  const last = said.pop() ?? ''
  return said.length > 0 ? `${said.join(', ')} and ${last}` : last
}

/** Whether the edge was still on its way outward when the computed time ended. */
function stillGrowing({ summary, series }: Pick<Life, 'summary' | 'series'>): boolean {
  return (series.U.at(-1) ?? 0) * summary.lifeEnd > HELD * (series.R.at(-1) ?? summary.maxRadius)
}

/** How far it goes, then what its rim does and what becomes of it (`end`, said of "it"). */
function course(life: Life, beside: Neighbours, end: string): string {
  const { maxRadiusTime, lifeEnd } = life.summary
  const far =
    maxRadiusTime >= lifeEnd && stillGrowing(life)
      ? `This drop has spread to a radius of ${widest(life, beside)} by ${duration(lifeEnd)}, where the calculation ends, and is still growing`
      : `This drop spreads to a radius of ${widest(life, beside)} in ${duration(maxRadiusTime)}`
  const facts = beadFacts(life, beside.fingers)
  const rim = beadClause(life, facts)
  const doubtful = facts?.verdict === 'none' && / full calculation /.test(rim)
  const given = facts?.verdict === 'depends' ? 'as given, it' : doubtful ? 'by the quick estimate it' : 'it'
  return `${listed([far, thinnest(life)])}. ${asSentence(rim ? `${rim}; ${given} ${end}` : `it ${end}`)}`
}

/** The beads as a sentence of their own, for a drop that is cut short; empty if none are told. */
function rimSentence(life: Life, { fingers }: Neighbours): string {
  const facts = beadFacts(life, fingers)
  return facts?.verdict === 'beads' ? ` ${asSentence(beadClause(life, facts))}` : ''
}

/** The threshold with its ± once that is known: "48.7 ± 2.3 %". The closed forms have one scale of strength. */
function thresholdText(life: Life, { threshold }: Neighbours): string {
  const half = halfOf(threshold)
  const value = thresholdOf(life)
  return half > 0 ? withError(100 * value, 100 * half, '%') : percent(value)
}

function lensText(life: Life, beside: Neighbours): string {
  if (drawnToPoint(life)) {
    return 'This drop does not spread: the tensions draw it together to a point, because levelling is switched off.'
  }
  const threshold = thresholdOf(life)
  const { alcoholMassFraction } = life.preset.drop
  if (Number.isNaN(threshold) && life.facts.S0 < 0) {
    return 'No strength of this alcohol spreads on this oil: the drop stays a lens.'
  }
  if (alcoholMassFraction < threshold) {
    return `Too weak: below ${thresholdText(life, beside)} ${basis(life)} this mixture stays a lens on this oil.`
  }
  return `This drop stays a lens of ${length(life.summary.maxRadius)} radius.`
}

/** What would make it spread: "At 52 % it would spread to 15 mm: add 12 mL of the stock (96 %vol) to your 50 mL." */
function changeText(change: NearestChange | null, bottle: Bottle): string {
  if (change?.kind !== 'stronger') return ''
  const { suggested, amendment } = change
  const there = `At ${percent(suggested.massFraction, 3).replace('.0 ', ' ')} it would spread to ${length(suggested.maxRadius, 2)}`
  if (amendment?.add !== 'stock') return `${there}.`
  return `${there}: add ${plain(amendment.add_mL, 2)} mL of the stock (${shortStrength(bottle.stock)}) to your ${bottle.mixture_mL} mL.`
}

/** Nothing is claimed of what comes after the end of the computed time. */
function spreadsText(life: Life, beside: Neighbours): string {
  const end = duration(life.summary.lifeEnd)
  if (stillGrowing(life)) {
    const far = `This drop has spread to a radius of ${widest(life, beside)} by ${end}`
    return `${far}, where the calculation ends, and is still growing.${rimSentence(life, beside)}`
  }
  return course(life, beside, `is still that wide after ${end}, where the calculation ends`)
}

function recedesText(life: Life, beside: Neighbours): string {
  const { collapseTime, lifeEnd, cut } = life.summary
  if (collapseTime > 0) {
    const heap = drawnToPoint(life) ? 'heap' : 'lens'
    return course(life, beside, `has drawn back to a small ${heap} by ${duration(collapseTime)}`)
  }
  const after = `after ${duration(lifeEnd)}${cut ? ', where the calculation ends' : ''}`
  // At rest, or growing again, on its way back.
  if (!((life.series.U.at(-1) ?? 0) < -AT_REST))
    return course(life, beside, `has drawn back to a radius of ${length(life.series.R.at(-1)!)} ${after}`)
  return course(life, beside, `is still drawing back ${after}`)
}

/** A drop with less than this part of its volume left is gone. */
const GONE = 0.02

/** What is left of a drop that has shed, at the end of what was computed. */
export function leftOver({ summary, series }: Pick<Life, 'summary' | 'series'>): string {
  const left = series.volume.at(-1) ?? 0
  const end = duration(summary.lifeEnd)
  if (!(left > GONE * (series.volume[0] ?? 0))) return `is gone after ${end}`
  const part = `${plain(1e9 * left, 2)} µL`
  return summary.collapseTime > 0
    ? `has drawn back to a lens of ${part} by ${duration(summary.collapseTime)}`
    : `still holds ${part} after ${end}`
}

function shedsText(life: Life, beside: Neighbours): string {
  return course(
    life,
    beside,
    listed([`sheds ${count(life.summary.childDrops.count)} child drops`, leftOver(life)]),
  )
}

function wallText(life: Life, beside: Neighbours): string {
  const { dishRadius_mm } = life.preset.bath
  const after = duration(life.summary.lifeEnd)
  return `This drop reaches the wall of the dish (${dishRadius_mm} mm) after ${after}: take a wider dish or a smaller drop.${rimSentence(life, beside)}`
}

const texts: Record<Life['summary']['outcome'], (life: Life, beside: Neighbours) => string> = {
  lens: lensText,
  spreads: spreadsText,
  recedes: recedesText,
  sheds: shedsText,
  dries: (life, beside) =>
    course(life, beside, `dries there by ${duration(life.summary.lifeEnd)} without drawing back`),
  'reaches-wall': wallText,
  failed: ({ summary }) =>
    `The calculation stopped after ${duration(summary.lifeEnd)}: ${summary.cause.replace(/\.$/, '')}`,
}

const asSentence = (text: string): string =>
  `${text.charAt(0).toUpperCase()}${text.slice(1)}${text.endsWith('.') ? '' : '.'}`

function growingText({ series }: Life): string {
  const last = series.t.length - 1
  if (last < 0) return 'Touching down.'
  return `Computing: ${length(series.R[last]!)} after ${duration(series.t[last]!)} so far.`
}

/** What to try first: the nearest change that turns the outcome round. Empty if there is no threshold. */
function invitationFor(life: Life): string {
  const threshold = thresholdOf(life)
  if (!(threshold > 0.02 && threshold < 0.98)) return ''
  const strength = life.preset.drop.alcoholMassFraction
  return strength > threshold
    ? `Drag the strength below ${percent(threshold)} and watch it stay a lens.`
    : `Drag the strength above ${percent(threshold)} and see it spread.`
}

/** "24.6 ± 1.1 mm" as it stands in a text; empty if there is none. */
const uncertainIn = (text: string): string => /[\d.]+ ± [\d.]+ (?:mm|%)/.exec(text)?.[0] ?? ''

/**
 * The sentence of a life, with what its neighbours add as soon as they are known; with `firstVisit` it comes
 * with an invitation.
 */
export function sentenceOf(
  life: Life,
  firstVisit = false,
  beside: Neighbours = noNeighbours,
  bottle: Bottle = plainBottle,
): Sentence {
  const notice = offNotice(life.preset)
  const told = (text: string) => (notice ? `${notice} ${text}` : text)
  if (life.status === 'growing') return { text: told(growingText(life)), uncertain: '', invitation: '' }
  const first = asSentence(texts[life.summary.outcome](life, beside))
  const change = life.summary.outcome === 'lens' ? changeText(beside.nearest, bottle) : ''
  const chance = chanceSentence(beside.band?.sure, life.summary.outcome)
  const text = told([first, chance, change].filter(Boolean).join(' '))
  return { text, uncertain: uncertainIn(text), invitation: firstVisit ? invitationFor(life) : '' }
}
