/** How the rim forms and how it beads and breaks. Pure. */
import type { Life } from '../../life/types.ts'
import {
  type BeadFacts,
  bandWords,
  basisWords,
  beadFacts,
  type CalculatedBeads,
  tensionWords,
} from '../../plan/beads.ts'
import { beadCount } from '../beads.ts'
import { count, duration, length, plain } from '../format.ts'
import { beadNumbers, beadsAtLargest } from '../sentence/beads.ts'
import { choice, speedWords } from './explainWords.ts'
import { firstLook, Look, marked, rowAt, widestRow } from './look.ts'
import type { Curve, Part, Question, Step } from './types.ts'

/** Why a life is not told as that of a rim. */
export function noRimWords({ facts, summary }: Life): string {
  if (summary.outcome === 'failed')
    return 'The calculation did not come to an end, so nothing is told of a rim.'
  if (facts.S0 >= 0) return 'This drop forms no rim.'
  return Number.isNaN(facts.criticalMassFraction)
    ? 'This drop forms no rim: no strength of this alcohol spreads on this oil.'
    : 'This drop forms no rim; a stronger mixture would.'
}

/** A rim stands out when it is so many times as thick as the thin spot behind it, and a micrometre high. */
const STANDS_OUT = 5
const SEEN = 1e-6
/** Where the film comes in, r/R; it outruns the edge if it is so many times as fast. */
const BEHIND = 0.95
const OUTRUNS = 1.15

export function rimStep(life: Life): Part {
  const last = life.frames.count - 1
  const look = firstLook(life, 1, last, (at) => {
    const height = at.series('ringHeight')
    return (
      height > SEEN &&
      height > STANDS_OUT * at.series('thin') &&
      at.speed(BEHIND) > OUTRUNS * Math.max(at.U, 0) + 1e-5
    )
  })
  if (!look) {
    const why = losesAlcohol(life)
      ? 'the film never outruns the edge by much'
      : 'with its alcohol even, the film does not outrun the edge'
    return { missing: `a rim, because ${why}: nothing piles up` }
  }
  const [height, place] = [look.series('ringHeight'), look.series('ringRadius')]
  const film = look.speed(BEHIND)
  const edge = speedWords(look.U, film)
  const hint = 'Look at the thickness just inside the edge: liquid piles up there.'
  const when = look.time < 0.5 * life.summary.maxRadiusTime ? ', early in this life' : ''
  return {
    id: 'rim',
    title: 'Film and edge',
    question: choice(
      'Which is faster: the film behind the edge, or the edge?',
      'film',
      ['film', 'The film', ''],
      ['edge', 'The edge', hint],
      ['alike', 'Both alike', hint],
    ),
    answer: `The film: ${speedWords(film, film)}, the edge ${edge === 'at rest' ? 'is at rest' : edge}.`,
    text: `More arrives than moves on: it piles up as a rim, after ${duration(look.time)}${when}.`,
    facts: [
      { name: 'Rim', value: length(height, 2) },
      { name: 'Thin spot behind', value: length(look.series('thin'), 2) },
    ],
    curve: marked(look.thickness(), place / look.R, 1e6 * height, `rim ${length(height, 2)}`),
    time: look.time,
    radius: place,
    place: 'the rim',
    colourBy: 'thickness',
  }
}

const losesAlcohol = ({ series }: Life): boolean =>
  (series.evaporatedAlcohol.at(-1) ?? 0) > 0 || (series.inOil.at(-1) ?? 0) > 0

/** How far the beads move the edge over the whole life, as the life's own estimate has it. */
function waves({ series }: Life): Curve {
  return {
    over: 'time',
    label: 'waves of the edge, µm',
    x: Array.from(series.t),
    y: Array.from(series.beadAmplitude, (value) => 1e6 * value),
    logarithmic: false,
  }
}

const WHY_BEADS =
  'Narrow places of the rim, more tightly curved, press liquid into wide ones (Plateau–Rayleigh instability).'

function howBeads(facts: BeadFacts): string {
  if (facts.by === 'life') return ''
  const band = bandWords(facts)
  const more = `(${basisWords(facts)}${band && `; ${band}`})`
  return facts.verdict === 'late'
    ? `The waves stay lower than the rim until it is largest${facts.atLargest ? `: ${beadsAtLargest(facts, ' beads')}` : ''} ${more}.`
    : `Bulges are as high as the rim from ${duration(facts.from)} on: ${beadNumbers(facts)} ${more}.`
}

/** How far off a guess of a number of beads may be: the model itself is no better. */
const FACTOR = 1.5

function countQuestion(text: string, right: number): Question {
  return {
    kind: 'number',
    text,
    unit: 'beads',
    right,
    accept: [right / FACTOR, right * FACTOR],
    tolerance: `right within a factor of ${FACTOR}`,
    hint: {
      low: 'More: beads are hardly wider than the rim, and the way round is long.',
      high: 'Fewer: a bead is several times as long as the rim is high.',
    },
  }
}

function breakQuestion(life: Life, look: Look): Question {
  const n = look.series('beads')
  if (n > 0)
    return countQuestion(
      `After ${duration(look.time)} beads begin to leave the rim. How many stand round the drop?`,
      beadCount(n),
    )
  const first = life.summary.firstBreakUp < life.summary.maxRadiusTime
  const hint = 'Compare this moment with that of the largest radius.'
  return choice(
    'When does the rim begin to break up?',
    first ? 'before' : 'after',
    ['before', 'Before the drop is largest', hint],
    ['after', 'After it was largest', hint],
  )
}

/** What the full calculation says beside the quick estimate that sheds. */
function fullerWords(facts: BeadFacts | null): string {
  if (!facts || facts.by === 'life') return ''
  if (facts.verdict === 'none') return 'The full calculation expects no beads.'
  if (facts.verdict === 'depends') return `Whether this rim beads ${tensionWords}.`
  return facts.from >= 0
    ? `Full calculation: bulges as high as the rim from ${duration(facts.from)} on.`
    : 'Full calculation: the bulges stay lower than the rim.'
}

/** The first break-up, at its own moment. */
function breakStep(life: Life, facts: BeadFacts | null): Step {
  const { summary, frames } = life
  const look = new Look(life, rowAt(life, summary.firstBreakUp))
  const n = look.series('beads')
  const spacing = (2 * Math.PI * look.R) / n
  const radius = look.series('ringRadius')
  const still = frames.R[look.row]! < 0.98 * summary.maxRadius ? ', while the drop still grows' : ''
  const early = summary.firstBreakUp < summary.maxRadiusTime ? still : ''
  return {
    id: 'breaks',
    title: 'The rim breaks up',
    question: breakQuestion(life, look),
    answer:
      n > 0
        ? `About ${beadCount(n)}, ${plain(1e3 * spacing, 2)} mm apart${early}.`
        : `After ${duration(look.time)}${early}.`,
    text: `${WHY_BEADS} Necks give way, beads become drops (a quick estimate). ${fullerWords(facts)}`.trim(),
    facts: [
      { name: 'Child drops', value: count(summary.childDrops.count) },
      { name: 'Their radius', value: length(summary.childDrops.medianRadius, 2) },
    ],
    curve: marked(waves(life), look.time, 1e6 * look.series('beadAmplitude'), duration(look.time)),
    time: look.time,
    radius: radius > 0 ? radius : look.R,
    place: 'the rim',
    colourBy: 'thickness',
  }
}

const VERDICTS: Record<BeadFacts['verdict'], [title: string, text: string]> = {
  beads: ['The rim beads', WHY_BEADS],
  late: ['The rim begins to bead', WHY_BEADS],
  depends: ['The rim may bead', `${WHY_BEADS} Whether this rim beads ${tensionWords}.`],
  none: [
    'The rim stays even',
    'Waves on this rim are not expected to grow enough to be seen before the drop is largest.',
  ],
}

function beadQuestion({ verdict, count: n, atLargest, from }: BeadFacts): Question {
  const many = atLargest?.count ?? n
  if (verdict === 'beads' && many > 0)
    return countQuestion(
      `${from >= 0 ? `From ${duration(from)} on the` : 'The'} rim beads. How many beads stand round the drop at its largest?`,
      beadCount(many),
    )
  // Whether it beads is no fair question then; why it would is one.
  if (verdict === 'depends')
    return choice(
      'Where is the pressure in a wavy rim higher?',
      'narrow',
      ['narrow', 'In its narrow places', ''],
      ['wide', 'In its wide places', 'A tightly curved surface presses harder.'],
    )
  const hint = 'Look at how high the waves grow.'
  return choice(
    'Do beads as high as the rim form before the drop is largest?',
    'no',
    ['yes', 'Yes', hint],
    ['no', 'No', hint],
  )
}

function beadAnswer(facts: BeadFacts): string {
  if (facts.verdict === 'none') return 'No: the rim stays even.'
  if (facts.verdict === 'late') return 'No: the waves are still lower than the rim by then.'
  if (facts.verdict === 'depends') return 'In the narrow places: waves can grow into beads.'
  const told = beadNumbers(facts)
  return `${told.charAt(0).toUpperCase()}${told.slice(1)}${facts.by === 'life' ? ' (a quick estimate)' : ''}.`
}

/** Beads on a rim that sheds nothing. */
function beadStep(life: Life, facts: BeadFacts): Step {
  const widest = widestRow(life)
  const row =
    facts.verdict === 'beads' && facts.from >= 0 ? Math.min(rowAt(life, facts.from), widest) : widest
  const look = new Look(life, row)
  const [title, text] = VERDICTS[facts.verdict]
  const radius = look.series('ringRadius')
  return {
    id: 'beads',
    title,
    question: beadQuestion(facts),
    answer: beadAnswer(facts),
    text: `${text} ${facts.verdict === 'none' ? '' : howBeads(facts)}`.trim(),
    facts: [{ name: 'Break-up', value: life.preset.ring.breakUp ? 'calculated' : 'switched off' }],
    curve: marked(waves(life), look.time, 1e6 * look.series('beadAmplitude'), duration(look.time)),
    time: look.time,
    radius: radius > 0 ? radius : look.R,
    place: 'the rim',
    colourBy: 'thickness',
  }
}

/** The break-up where child drops leave, else the beads; null where nothing is known yet. */
export function beadsPart(life: Life, fingers: CalculatedBeads | null): Part {
  const facts = beadFacts(life, fingers)
  const { childDrops, firstBreakUp } = life.summary
  if (childDrops.count > 0 && firstBreakUp >= 0) return breakStep(life, facts)
  if (childDrops.count > 0) {
    const part = plain((100 * childDrops.volume) / life.series.volume[0]!, 1)
    return { missing: `a break-up of the rim, because only ${part} % of the drop leaves as child drops` }
  }
  if (!facts) return { missing: 'child drops, because waves on the rim stay too low' }
  return beadStep(life, facts)
}
