/** What becomes of the drop. Pure. */
import { drawnToPoint } from '../../life/mechanisms.ts'
import type { Life } from '../../life/types.ts'
import { duration, length, plain } from '../format.ts'
import { leftOver } from '../sentence/sentence.ts'
import { choice } from './explainWords.ts'
import { Look, rowAt } from './look.ts'
import type { Curve, Question, Step } from './types.ts'

/** Radius of the edge over the whole life. */
function radii({ series }: Life): Curve {
  const y = Array.from(series.R, (R) => 1e3 * R)
  return { over: 'time', label: 'radius, mm', x: Array.from(series.t), y, logarithmic: false }
}

type Fate = 'back' | 'dries' | 'wall' | 'lens' | 'point' | 'grows' | 'shrinks' | 'gone'

function fateOf(life: Life): Fate {
  const { outcome, collapseTime } = life.summary
  if (outcome === 'lens') return drawnToPoint(life) ? 'point' : 'lens'
  if (outcome === 'dries') return 'dries'
  if (outcome === 'reaches-wall') return 'wall'
  if (outcome === 'recedes' || collapseTime > 0) return 'back'
  const { R, U, volume } = life.series
  if (outcome === 'sheds' && volume.at(-1)! < 0.05 * volume[0]!) return 'gone'
  if (R.at(-1)! < 0.9 * life.summary.maxRadius) return 'back'
  return U.at(-1)! > 0 ? 'grows' : 'shrinks'
}

const OPTIONS: Record<Fate, string> = {
  back: 'It draws back',
  dries: 'It dries where it lies',
  wall: 'It reaches the wall of the dish',
  lens: 'It stays a lens',
  point: 'It is drawn together to a point',
  grows: 'It still grows',
  shrinks: 'It slowly shrinks',
  gone: 'It breaks up wholly into child drops',
}

/** What else one might think, and is false here. */
const OTHERS: Record<Fate, readonly Fate[]> = {
  back: ['dries', 'wall'],
  dries: ['back', 'wall'],
  wall: ['back', 'dries'],
  lens: ['wall', 'dries'],
  point: ['lens', 'wall'],
  grows: ['shrinks', 'dries'],
  shrinks: ['grows', 'dries'],
  gone: ['wall', 'dries'],
}

function fateQuestion(fate: Fate, end: string): Question {
  const hint = 'Follow the radius to the end of its curve.'
  const of = (one: Fate) => [one, OPTIONS[one], hint] as const
  const [first, second] = OTHERS[fate] as [Fate, Fate]
  const text =
    fate === 'grows' || fate === 'shrinks'
      ? `The calculation ends after ${end}. What does the drop do then?`
      : 'What becomes of the drop?'
  // The order must not tell: by name.
  const sorted = [fate, first, second].sort()
  return choice(text, fate, ...sorted.map(of))
}

function fateAnswer(life: Life, fate: Fate): string {
  const { summary } = life
  const end = duration(summary.lifeEnd)
  const collapsed =
    summary.collapseTime > 0
      ? `collapse at ${duration(summary.collapseTime)}`
      : `after ${end} it is still going on`
  const told: Record<Fate, string> = {
    back: `It draws back: ${collapsed}.`,
    dries: `The film dries where it lies, by ${end}.`,
    wall: `It reaches the wall of the dish after ${end}.`,
    lens: `It stays a lens of ${length(life.series.R.at(-1)!)} radius.`,
    point: `It is drawn together to a point by ${end}.`,
    grows: `It is still spread and still growing, at ${length(life.series.R.at(-1)!)}.`,
    shrinks: `It is still spread, at ${length(life.series.R.at(-1)!)}, and slowly shrinking.`,
    gone: `It breaks up: less than 5 % of it is left after ${end}.`,
  }
  return told[fate]
}

function fateText(life: Life, fate: Fate): string {
  const { summary } = life
  const cut = summary.cut ? ` The life is known until ${duration(summary.lifeEnd)} only.` : ''
  const words: Record<Fate, string> = {
    back: 'The film, weak by now, is drawn together again.',
    dries: 'Nothing is left that could be drawn together.',
    wall: 'What comes then is not calculated.',
    lens: 'Its faces pull harder than the oil.',
    point: 'Nothing levels it: nothing holds it open.',
    grows: 'What comes then is not known.',
    shrinks: 'What comes then is not known.',
    gone: `What is left of the drop ${leftOver(life)}.`,
  }
  return `${words[fate]}${cut}`
}

function fateTime(life: Life, fate: Fate): number {
  const end = Math.min(life.summary.lifeEnd, life.series.t.at(-1) ?? 0)
  return fate === 'back' && life.summary.collapseTime > 0 ? Math.min(life.summary.collapseTime, end) : end
}

export function endStep(life: Life): Step {
  const fate = fateOf(life)
  const look = new Look(life, rowAt(life, fateTime(life, fate)))
  const { volume } = life.series
  return {
    id: 'end',
    title: 'The end',
    question: fateQuestion(fate, duration(life.summary.lifeEnd)),
    answer: fateAnswer(life, fate),
    text: fateText(life, fate),
    facts: [
      { name: 'Radius then', value: length(look.R) },
      { name: 'Left of its volume', value: `${plain((100 * volume[look.row]!) / volume[0]!, 2)} %` },
    ],
    curve: { ...radii(life), mark: { x: look.time, y: 1e3 * look.R, label: duration(look.time) } },
    time: look.time,
    radius: look.R,
    place: 'the edge',
    colourBy: 'thickness',
  }
}
