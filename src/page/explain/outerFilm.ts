/** How the outer film loses its alcohol, and what its tension then does. Pure. */

import { alcoholShares } from '../../life/alcoholShares.ts'
import { ringBudget } from '../../life/budget.ts'
import type { Life } from '../../life/types.ts'
import { plain } from '../format.ts'
import { choice, milli } from './explainWords.ts'
import { firstLook, type Look, marked, OUTER, OUTER_WORDS } from './look.ts'
import type { Part, Question } from './types.ts'

/** The film has faded when its fraction is below this part of the middle's. */
const FADED = 0.95

/** Where the alcohol has gone until a moment. */
function whereTo({ life, row }: Look): string {
  const shares = alcoholShares(life.series, row)
  if (!shares) return ''
  const part = (share: number) => `${plain(100 * share, 2)} %`
  const air = shares.air > 0 ? `${part(shares.air)} of the alcohol has gone into the air` : ''
  const oil = shares.oil > 0 ? `${part(shares.oil)}${air ? '' : ' of the alcohol has gone'} into the oil` : ''
  return air || oil ? `Until then ${[air, oil].filter(Boolean).join(' and ')}.` : ''
}

/** How many times faster the outer film loses liquid per area than the middle. */
function lossRatio({ life: { frames }, row }: Look): number {
  const loss = (a: number, b: number) => {
    const { vapour, oil } = ringBudget(frames, row, a, b)
    return vapour + oil
  }
  const outer = Array.from(frames.sFaces).findIndex((s) => s > OUTER)
  return loss(outer - 1, outer) / loss(0, 1)
}

const percentBy = (phi: number): string => `${plain(100 * phi, 2)} %`

/** Whether nothing leaves the drop in this life. */
function losesNothing({ facts, series }: Life): boolean {
  return !(facts.startFlux > 0) && !((series.inOil.at(-1) ?? 0) > 0)
}

export function alcoholStep(life: Life, widest: number): Part {
  const look = firstLook(life, 1, widest, (at) => at.at('phi', OUTER) < FADED * at.at('phi', 0))
  if (!look) {
    return {
      missing: losesNothing(life)
        ? 'a film that loses its alcohol first, because nothing leaves: nothing evaporates here and the oil takes up nothing'
        : 'a film that loses its alcohol first, because too little leaves before the drop is largest',
    }
  }
  const [mid, out] = [look.at('phi', 0), look.at('phi', OUTER)]
  const thinner = plain(look.at('h', 0) / look.at('h', OUTER), 2)
  const ratio = lossRatio(look)
  const alike = ratio < 1.5 && ratio > 1 / 1.5
  const hint = 'Think of how little liquid stands behind a patch of thin film.'
  return {
    id: 'alcohol',
    title: 'Where the alcohol goes',
    question: choice(
      `${alike ? 'Every patch loses alcohol about equally fast. Where does it' : 'Where does the alcohol'} run low first?`,
      'film',
      ['film', 'In the outer film', ''],
      ['middle', 'In the middle', hint],
      ['alike', 'Everywhere alike', hint],
    ),
    answer: `In the outer film: it is ${thinner} times thinner.`,
    text: whereTo(look),
    facts: [
      { name: 'Middle', value: percentBy(mid) },
      { name: 'Outer film', value: percentBy(out) },
    ],
    curve: marked(look.cells('phi', 'alcohol, % by volume', 0.01), OUTER, 100 * out, percentBy(out)),
    time: look.time,
    radius: OUTER * look.R,
    place: OUTER_WORDS,
    colourBy: 'alcohol',
  }
}

/** A pull over the whole radius that is less than this part of the pull at touch-down hardly matters. */
const SLIGHT = 0.02
/** A difference of tension that is worth a step, N/m. */
const WORTH = 1e-3

function drawnQuestion(whole: number, rise: number, slight: number): Question {
  const size = Math.abs(whole)
  // Near the border between a pull and none the direction is no fair question.
  if (size < 2 * slight) {
    const right = 1e3 * rise
    return {
      kind: 'number',
      text: `By how much is the tension higher at ${OUTER_WORDS} than in the middle?`,
      unit: 'mN/m',
      right,
      accept: [right - 1, right + 1],
      tolerance: 'right within 1 mN/m',
      hint: { low: 'More: water pulls harder than alcohol.', high: 'Less: not all of the alcohol has gone.' },
    }
  }
  const hint = 'Water pulls harder than alcohol, and liquid is drawn to where the tension is higher.'
  return choice(
    'Water pulls harder than alcohol. Which way is the outer film drawn?',
    whole > 0 ? 'out' : 'in',
    ['out', 'Outward', hint],
    ['in', 'Inward', hint],
    ['none', 'Neither way', hint],
  )
}

export function tensionStep(life: Life, widest: number): Part {
  const { tensionAbove, tensionBelow } = life.preset.mechanisms
  if (!tensionAbove && !tensionBelow)
    return {
      missing: 'a slope of the tension, because both faces keep the tension that they had at touch-down',
    }
  const rise = (at: Look) => at.at('sigma', OUTER) - at.at('sigma', 0)
  const faded = (at: Look) => at.at('phi', OUTER) < FADED * at.at('phi', 0)
  const look = firstLook(life, 1, widest, (at) => faded(at) && Math.abs(rise(at)) > WORTH)
  if (!look)
    return { missing: 'a slope of the tension that would matter, because the alcohol stays nearly even' }
  const { above, below } = look.pulls(OUTER)
  const whole = (above + below) * look.R
  const [mid, out] = [look.at('sigma', 0), look.at('sigma', OUTER)]
  return {
    id: 'tension',
    title: 'The slope of the tension',
    question: drawnQuestion(whole, rise(look), SLIGHT * Math.abs(life.facts.S0)),
    answer: `${whole > 0 ? 'Outward' : 'Inward'}, with ${plain(Math.abs(above + below), 2)} Pa: the Marangoni effect.`,
    text:
      rise(look) > 0
        ? 'Less alcohol, more tension. This pull acts even when the edge rests.'
        : 'The film is too thin there to pull fully. This pull acts even when the edge rests.',
    facts: [
      { name: 'Middle', value: `${milli(mid)} mN/m` },
      { name: 'Outer film', value: `${milli(out)} mN/m` },
    ],
    curve: marked(
      look.cells('sigma', 'tension passed to the oil, mN/m', 1e-3),
      OUTER,
      1e3 * out,
      `${milli(out)} mN/m`,
    ),
    time: look.time,
    radius: OUTER * look.R,
    place: OUTER_WORDS,
    colourBy: 'tension',
  }
}
