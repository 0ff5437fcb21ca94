/** Why the film is thinnest just inside the rim: the speeds at the largest radius, the budget of the place, the way of its liquid. Pure. */
import {
  type Followed,
  followBack,
  leadingFace,
  type RingBudget,
  ringBudget,
  thinStretch,
} from '../../life/budget.ts'
import type { Life } from '../../life/types.ts'
import { duration, length, plain } from '../format.ts'
import { decimalsFor } from '../plots/pullsModel.ts'
import { roundUp } from '../spans.ts'
import { choice, milli, speedWords, wayWords } from './explainWords.ts'
import { Look, marked, OUTER, widestRow } from './look.ts'
import type { BudgetPicture, Part, Question, Step } from './types.ts'

/** Highest point of a curve. */
function highest({ x, y }: { x: number[]; y: number[] }): { x: number; y: number } {
  let best = 0
  for (const [i, value] of y.entries()) if (value > y[best]!) best = i
  return { x: x[best]!, y: y[best]! }
}

export function widestStep(life: Life): Part {
  const look = new Look(life, widestRow(life))
  const cutoff = life.preset.model.filmCutoff_nm
  if (look.at('h', OUTER) < cutoff * 1e-9)
    return {
      missing: `a film that runs when the drop is largest, because it is thinner than ${plain(cutoff, 2)} nm by then`,
    }
  const curve = look.speeds()
  const top = highest(curve)
  const atEdge = top.x > 0.995
  const scale = 1e-3 * top.y
  // Only a life that ends before is largest while its edge still moves.
  const moves = Math.abs(look.U) > 0.03 * scale
  const { S0 } = life.facts
  const left = look.fields.edgePull
  const pull =
    left > 1e-3 * S0
      ? `Of its pull, ${milli(S0, 2)} mN/m, ${milli(left, 2)} are left.`
      : left < -1e-3 * S0
        ? 'Now its pull is inward.'
        : 'Nothing is left of its pull.'
  const { above, below } = look.pulls(OUTER)
  const inside = look.series('ringHeight') > 0 && top.x > 0.75
  const drives = !atEdge && above + below > 0
  const state = moves ? `moves at ${speedWords(look.U, scale)}` : 'is at rest'
  return {
    id: 'widest',
    title: moves ? 'The widest drop' : 'The edge comes to rest',
    question: {
      kind: 'curve',
      text: `After ${duration(look.time)} the drop is largest${moves ? ' so far' : ''}; its edge ${state}. Draw how fast the liquid runs.`,
      curve,
      top: roundUp(1.15 * top.y, 4),
      within: 0.12,
      tolerance: 'right if its highest point is within 12 %',
    },
    answer: atEdge
      ? `Fastest at the edge: ${plain(top.y, 2)} mm/s.`
      : `Fastest at ${wayWords(top.x)}, ${plain(top.y, 2)} mm/s${inside ? ', just inside the rim' : ''}.`,
    text: `${pull}${drives ? ' The slope of the tension still drives the film.' : ''}`,
    facts: [{ name: 'Largest radius', value: length(look.R) }],
    curve: marked(curve, top.x, top.y, `${plain(top.y, 2)} mm/s`),
    time: look.time,
    radius: top.x * look.R,
    place: atEdge ? 'the edge' : wayWords(top.x),
    colourBy: 'speed',
  }
}

/** The place of which the last steps speak. */
export interface Place {
  look: Look
  /** Cell, r/R and thickness, m, of the thinnest stretch of film inside the rim. */
  cell: number
  s: number
  thickness: number
  /** The ring that leads up to it, from where the film is twice as thick. */
  budget: RingBudget
  /** How its liquid came there, from where it was ten times as thick. */
  way: Followed
}

const LEADS_FROM = 2
const FOLLOWED_FROM = 10

/** The thinnest stretch at a moment; null without a rim, or where the film is thinner than the calculation can tell. */
function thinAt(life: Life, row: number): number | null {
  const { frames, series, preset } = life
  const height = series.ringHeight[row]!
  if (!(height > 0)) return null
  const top = Array.from(frames.sFaces).findIndex((s) => s * frames.R[row]! > series.ringRadius[row]!) - 1
  const cell = thinStretch(frames, row, top)
  if (cell < 1) return null
  const thickness = frames.h[row * frames.inner + cell]!
  return height > LEADS_FROM * thickness && thickness > preset.model.filmCutoff_nm * 1e-9 ? cell : null
}

/** The latest moment up to the largest radius at which there is such a place. */
export function placeOf(life: Life): Place | null {
  const { frames } = life
  for (let row = widestRow(life); row > 0; row--) {
    const cell = thinAt(life, row)
    if (cell === null) continue
    const s = 0.5 * (frames.sFaces[cell]! + frames.sFaces[cell + 1]!)
    return {
      look: new Look(life, row),
      cell,
      s,
      thickness: frames.h[row * frames.inner + cell]!,
      budget: ringBudget(frames, row, leadingFace(frames, row, cell, LEADS_FROM), cell + 1),
      way: followBack(frames, row, s, FOLLOWED_FROM),
    }
  }
  return null
}

/** Two causes of which one is not so much larger than the other are no fair question. */
const CLEAR = 1.3

function causeQuestion({ from, to, stretching, vapour, oil }: RingBudget): Question {
  const causes = { stretching: -stretching, vapour: -vapour, oil: -oil }
  const [first, second] = Object.entries(causes).sort(([, a], [, b]) => b - a) as [
    [string, number],
    [string, number],
  ]
  const zone = `The zone from ${Math.round(100 * from)} to ${wayWords(to)} leads to the thinnest place.`
  if (first[1] < CLEAR * second[1]) {
    const right = (100 * causes.stretching) / (causes.stretching + causes.vapour + causes.oil)
    return {
      kind: 'number',
      text: `${zone} Liquid that passes it thins. How much of this thinning is stretching?`,
      unit: '%',
      right,
      accept: [Math.max(0, right - 10), Math.min(100, right + 10)],
      tolerance: 'right within 10 %',
      hint: {
        low: 'More: compare the speeds at both sides.',
        high: 'Less: vapour and oil take a good part.',
      },
    }
  }
  const hint = `Compare: stretching ${rate(stretching)}, vapour ${rate(vapour)}, oil ${rate(oil)} µm/s.`
  return choice(
    `${zone} What thins liquid most that passes it?`,
    first[0],
    ['stretching', 'It is stretched', hint],
    ['vapour', 'It evaporates', hint],
    ['oil', 'The oil takes it up', hint],
  )
}

/** A rate of thickness in µm/s with its sign. */
function rate(value: number): string {
  const shown = plain(1e6 * Math.abs(value), 2)
  return value === 0 ? '0' : `${value < 0 ? '−' : '+'}${shown}`
}

/** A loss of thickness in µm/s without its sign. */
const thinning = (value: number): string => plain(-1e6 * value, 2)

/** Volume per time, nL/s, of a rate of thickness over the ring. */
const volumeRate = (value: number, { area }: RingBudget): number => 1e12 * value * area

function picture(budget: RingBudget): BudgetPicture {
  const { inner, outer } = budget
  const made: [BudgetPicture['arrows'][number]['key'], string, number][] = [
    ['in', 'flows in', budget.inflow],
    ['out', 'flows out', -budget.outflow],
    ['vapour', 'vapour', -budget.vapour],
    ['oil', 'into the oil', -budget.oil],
  ]
  // Nothing evaporates, or the oil takes up nothing: then there is no arrow.
  const arrows = made.flatMap(([key, label, value]) => {
    if (value === 0) return []
    const size = volumeRate(value, budget)
    return [{ key, label, size, shown: `${plain(size, 2)} nL/s` }]
  })
  return {
    arrows,
    thickness: [inner.thickness, outer.thickness],
    alt: `Section of the zone: ${arrows.map(({ label, shown }) => `${label} ${shown}`).join(', ')}.`,
  }
}

/** Terms of the budget as rows whose shown values add up to the last digit. */
function balance(budget: RingBudget): { name: string; value: string }[] {
  const { inflow, outflow, widening, vapour, oil, child } = budget
  const terms: [string, number][] = [
    ['In', inflow],
    ['Out', outflow],
    [widening < 0 ? 'The zone grows' : 'The zone shrinks', widening],
    ['Vapour', vapour],
    ['Oil', oil],
    ['Child drops', child],
  ]
  const digits = decimalsFor(1e6 * Math.max(...terms.map(([, value]) => Math.abs(value))))
  const round = (value: number) => Number((1e6 * value).toFixed(digits))
  const signed = (value: number) => `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(digits)}`
  const kept = terms.filter(([, value]) => round(value) !== 0)
  const sum = kept.reduce((so, [, value]) => so + round(value), 0)
  return [
    ...kept.map(([name, value]) => ({ name, value: signed(round(value)) })),
    { name: 'Together', value: `${signed(sum)} µm/s` },
  ]
}

function budgetStep({ look, s, thickness, budget }: Place): Step {
  const { inner, outer, stretching, vapour, oil } = budget
  const scale = Math.max(inner.speed, outer.speed)
  const speeds = [speedWords(outer.speed, scale), speedWords(inner.speed, scale)] as const
  const faster = outer.speed > inner.speed
  const going = stretching + vapour + oil
  const so = faster
    ? `It leaves faster outward (${speeds[0]}) than it comes from the middle (${speeds[1]})`
    : stretching < 0
      ? `It fans out over a longer way round (${speeds[1]} inside, ${speeds[0]} outside)`
      : `It is squeezed, not stretched: ${speeds[1]} inside, ${speeds[0]} outside`
  return {
    id: 'budget',
    title: 'The budget of the place',
    question: causeQuestion(budget),
    answer: `${so}.`,
    text: `On its way the liquid thins by ${thinning(going)} µm/s, by ${thinning(stretching)} through stretching.`,
    facts: balance(budget),
    picture: picture(budget),
    curve: marked(look.thickness(), s, 1e6 * thickness, length(thickness, 2)),
    time: look.time,
    radius: 0.5 * (budget.from + budget.to) * look.R,
    place: 'that zone',
    colourBy: 'thickness',
  }
}

/** A dip right at the rim's foot that is much thinner than the thinnest stretch. */
function dip({ look, thickness }: Place): string {
  const thin = look.series('thin')
  return thin < 0.8 * thickness
    ? ` (A dip of ${length(thin, 2)} right at the rim's foot is narrower than the calculation can tell.)`
    : ''
}

function whyStep(place: Place): Step {
  const { look, s, thickness, way } = place
  const lost = way.vapour + way.oil + way.child
  const whole = way.stretched + lost
  const share = (100 * lost) / whole
  const part = (value: number) => `${Math.round((100 * value) / whole)} %`
  const times = way.start.thickness / way.end.thickness
  const ago = duration(look.time - way.start.time)
  const before = times > 9.5 ? 'ten times as thick' : `${plain(times, 2)} times as thick`
  const top = highest(look.speeds())
  const near = Math.abs(top.x - s) < 0.08
  const rest = Math.abs(look.U) > 0.3e-3 * top.y ? 'slower rim' : 'resting rim'
  const because =
    way.stretched > lost
      ? near
        ? `The film is thinnest just inside the rim because its liquid is stretched up to here, where it runs fastest; then it piles up at the ${rest}.`
        : `The film is thinnest just inside the rim because its liquid is stretched on the way here; then it piles up at the ${rest}.`
      : `The film is thinnest just inside the rim because its liquid has been losing vapour and alcohol longest, on top of being stretched; then it piles up at the ${rest}.`
  return {
    id: 'why',
    title: 'Why thinnest there',
    question: {
      kind: 'number',
      text: `Liquid now at the thinnest place was ${before} ${ago} ago. How much of this is loss to air and oil?`,
      unit: '%',
      right: share,
      accept: [Math.max(0, share - 10), Math.min(100, share + 10)],
      tolerance: 'right within 10 %',
      hint: { low: 'More: it loses some all the way.', high: 'Less: most of it is stretching.' },
    },
    answer: `${Math.round(share)} %; stretching does ${part(way.stretched)}.`,
    text: `${because}${dip(place)}`,
    facts: [
      { name: 'Then', value: `${length(way.start.thickness, 2)} at ${wayWords(way.start.place)}` },
      { name: 'Now', value: `${length(thickness, 2)} at ${wayWords(s)}` },
    ],
    curve: marked(look.thickness(), s, 1e6 * thickness, length(thickness, 2)),
    time: look.time,
    radius: s * look.R,
    place: 'the thinnest place',
    colourBy: 'thickness',
  }
}

/** Budget and answer, or why there are none. */
export function placeParts(life: Life): Part[] {
  const place = placeOf(life)
  if (place) return [budgetStep(place), whyStep(place)]
  const thin = life.series.thin.some((thickness) => thickness > 0)
  const why = thin
    ? `what there is of it is thinner than the ${plain(life.preset.model.filmCutoff_nm, 2)} nm that the calculation can tell`
    : 'the film thins evenly toward the edge'
  return [{ missing: `a thin place inside a rim, because ${why}` }]
}
