/** The one plain sentence about the present drop, made from its life. Pure. */
import type { Life } from '../life/types.ts'
import { count, duration, length, percent, withError } from './format.ts'

export interface Sentence {
  text: string
  /** What to try; empty unless it is the first visit. */
  invitation: string
}

const basis = (life: Life): string => (life.preset.drop.alcohol === 'reference' ? 'by volume' : 'by mass')

const thresholdOf = ({ preset, facts }: Life): number =>
  preset.drop.alcohol === 'reference' ? facts.criticalPhi : facts.criticalMassFraction

function widest({ summary }: Life): string {
  return `${withError(summary.maxRadius * 1e3, summary.maxRadiusError * 1e3, 'mm')}`
}

function thinnest({ summary }: Life): string {
  const { thickness, radius } = summary.thinnest
  return thickness > 0 ? `thins to ${length(thickness, 2)} at ${length(radius, 2)}` : ''
}

/** Parts joined as "a, b and c"; empty ones are left out. */
function listed(parts: string[]): string {
  const said = parts.filter((part) => part !== '')
  const last = said.pop() ?? ''
  return said.length > 0 ? `${said.join(', ')} and ${last}` : last
}

const spreads = (life: Life): string =>
  `spreads to ${widest(life)} in ${duration(life.summary.maxRadiusTime)}`

function lensText(life: Life): string {
  const threshold = thresholdOf(life)
  const { alcoholMassFraction } = life.preset.drop
  if (Number.isNaN(threshold) && life.facts.S0 < 0) {
    return 'This oil is not wetted by any strength of this alcohol: the drop stays a lens.'
  }
  if (alcoholMassFraction < threshold) {
    return `Too weak: below ${percent(threshold)} ${basis(life)} this mixture stays a lens on this oil.`
  }
  return `Stays a lens of ${length(life.summary.maxRadius)} radius.`
}

function recedesText(life: Life): string {
  const { collapseTime } = life.summary
  const end =
    collapseTime > 0
      ? `has drawn back to a small lens by ${duration(collapseTime)}`
      : `is still drawing back after ${duration(life.summary.lifeEnd)}`
  return listed([spreads(life), thinnest(life), end])
}

function shedsText(life: Life): string {
  const { childDrops, lifeEnd } = life.summary
  const gone = `is gone after ${duration(lifeEnd)}`
  return listed([spreads(life), thinnest(life), `sheds ${count(childDrops.count)} child drops`, gone])
}

const wallText = ({ preset, summary }: Life): string =>
  `reaches the wall of the dish (${preset.bath.dishRadius_mm} mm) after ${duration(
    summary.lifeEnd,
  )}: take a wider dish or a smaller drop`

const texts: Record<Life['summary']['outcome'], (life: Life) => string> = {
  lens: lensText,
  recedes: recedesText,
  sheds: shedsText,
  dries: (life) =>
    listed([
      spreads(life),
      thinnest(life),
      `dries there by ${duration(life.summary.lifeEnd)} without drawing back`,
    ]),
  'reaches-wall': wallText,
  failed: ({ summary }) =>
    `The calculation stopped after ${duration(summary.lifeEnd)}: ${summary.cause.replace(/\.$/, '')}`,
}

const asSentence = (text: string): string =>
  `${text.charAt(0).toUpperCase()}${text.slice(1)}${text.endsWith('.') ? '' : '.'}`

function growingText({ series }: Life): string {
  const last = series.t.length - 1
  if (last < 0) return 'Touching down.'
  return `Being worked out: ${length(series.R[last]!)} after ${duration(series.t[last]!)} so far.`
}

/** What to try first: the nearest change that turns the outcome round. Empty if there is no threshold. */
export function invitationFor(life: Life): string {
  const threshold = thresholdOf(life)
  if (!(threshold > 0.02 && threshold < 0.98)) return ''
  const strength = life.preset.drop.alcoholMassFraction
  return strength > threshold
    ? `Drag the strength below ${percent(threshold)} and see it refuse.`
    : `Drag the strength above ${percent(threshold)} and see it spread.`
}

/** The sentence of a life; with `firstVisit` it comes with an invitation. */
export function sentenceOf(life: Life, firstVisit = false): Sentence {
  if (life.status === 'growing') return { text: growingText(life), invitation: '' }
  const text = asSentence(texts[life.summary.outcome](life))
  return { text, invitation: firstVisit ? invitationFor(life) : '' }
}
