/** The first steps: the pull at the edge, and the film that it draws out. Pure. */
import { drawnToPoint } from '../../life/mechanisms.ts'
import type { Life } from '../../life/types.ts'
import { duration, length, plain } from '../format.ts'
import { choice, milli, speedWords } from './explainWords.ts'
import { firstLook, Look, marked, OUTER, OUTER_WORDS } from './look.ts'
import type { Part, Question, Step } from './types.ts'

/** A pull at the edge below this, N/m, is neither outward nor inward. */
const BALANCED = 5e-5

function pullQuestion(S0: number, parts: string): Question {
  // Where nearly nothing is left the direction is no fair question.
  if (Math.abs(S0) < 10 * BALANCED) {
    const right = 1e3 * S0
    return {
      kind: 'number',
      text: `Oil against air pulls the edge outward, the drop's two faces pull it inward: ${parts} mN/m. How much is left for the outward pull?`,
      unit: 'mN/m',
      right,
      accept: [right - 0.1, right + 0.1],
      tolerance: 'right within 0.1 mN/m',
      hint: {
        low: 'More is left: take both inward pulls off the outward one.',
        high: 'Less is left: two faces pull inward.',
      },
    }
  }
  const hint = `Compare the pulls: ${parts} mN/m.`
  return choice(
    "Oil against air pulls the edge outward. The drop's upper and lower face pull it inward. Which side wins?",
    S0 > 0 ? 'out' : 'in',
    ['out', 'The oil: outward', hint],
    ['in', 'The drop: inward', hint],
    ['none', 'Neither', hint],
  )
}

export function pullStep(life: Life): Step {
  const { gammaO, gammaA0, gammaI0, S0 } = life.facts
  const look = new Look(life, 0)
  const parts = `${milli(gammaO)} − ${milli(gammaA0)} − ${milli(gammaI0)}`
  const pull = `${milli(Math.abs(S0), 2)} mN/m`
  const rest = drawnToPoint(life)
    ? 'Nothing levels the drop either: it is drawn together to a point.'
    : 'Nothing pulls the edge outward: the drop stays a lens.'
  return {
    id: 'pull',
    title: 'The pull at the edge',
    question: pullQuestion(S0, parts),
    answer:
      S0 >= 0
        ? `The oil wins: ${pull} pull the edge outward.`
        : `The drop wins: ${pull} pull the edge inward.`,
    text: S0 >= 0 ? 'This is its spreading coefficient.' : rest,
    facts: [
      { name: 'Oil against air', value: `${milli(gammaO)} mN/m` },
      { name: 'Upper face', value: `−${milli(gammaA0)} mN/m` },
      { name: 'Lower face', value: `−${milli(gammaI0)} mN/m` },
    ],
    curve: look.thickness(),
    time: look.time,
    radius: look.R,
    place: 'the edge',
    colourBy: 'thickness',
  }
}

/** The outer film must be so many times thinner than the middle to be called one. */
const THIN = 20

/** A length rounded to one digit: the sizes among which one can choose. */
const roughly = (metres: number): string => `about ${length(metres, 1)}`

export function filmStep(life: Life, widest: number): Part {
  const look = firstLook(life, 1, widest, (at) => at.at('h', OUTER) * THIN < at.at('h', 0))
  if (!look)
    return { missing: 'a thin film, because the middle never becomes much thicker than the outer part' }
  const [middle, film] = [look.at('h', 0), look.at('h', OUTER)]
  const size = (factor: number, hint: string) => [String(factor), roughly(factor * film), hint] as const
  const drag = life.preset.mechanisms.bathDrag
    ? 'the drag of the oil sets'
    : 'what drag is left in the oil sets'
  const speed = look.speed(OUTER)
  return {
    id: 'film',
    title: 'A thin film',
    question: choice(
      `After ${duration(look.time)} the middle is ${length(middle, 2)} thick. How thick is the film at ${OUTER_WORDS}?`,
      '1',
      size(10, 'Thinner: the edge has run far ahead of the thick middle.'),
      size(1, ''),
      size(0.1, 'Thicker: it is still early.'),
    ),
    answer: `${length(film, 2)}, ${plain(middle / film, 2)} times thinner.`,
    text: `The pull draws a film out of the drop. It rides on the oil; ${drag} the pace.`,
    facts: [
      { name: 'Film there', value: speedWords(speed, speed) },
      { name: 'Edge', value: speedWords(look.U, speed) },
    ],
    curve: marked(look.thickness(), OUTER, 1e6 * film, length(film, 2)),
    time: look.time,
    radius: OUTER * look.R,
    place: OUTER_WORDS,
    colourBy: 'thickness',
  }
}
