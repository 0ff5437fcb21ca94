/** The beads of the rim in words: a clause of the sentence, and what stands behind it on the card. Pure. */
import type { Life } from '../../life/types.ts'
import { type BeadFacts, bandWords, tensionWords } from '../../plan/beads.ts'
import { TENSION_MOVES } from '../../plan/neighbours.ts'
import { MOST_WAVES } from '../../rim/scope.ts'
import { count, duration, length, plain } from '../format.ts'

const apart = (spacing: number): string => `${plain(1e3 * spacing, 2)} mm apart`
const beads = (n: number): string => `${n >= MOST_WAVES ? 'at least 1 000' : count(n)} beads`

/** "about 110 at the largest radius, 1.3 mm apart"; that they fade where they do. */
export function beadsAtLargest({ atLargest }: BeadFacts, noun: string): string {
  if (!atLargest) return 'they fade before the largest radius'
  return `${count(atLargest.count)}${noun} at the largest radius, ${apart(atLargest.spacing)}`
}

/** Numbers that differ by less are told as one. */
const ALIKE = 1.15

/** "about 260 beads, later about 110, 1.3 mm apart at the largest radius". */
export function beadNumbers(facts: BeadFacts): string {
  const { atLargest } = facts
  if (!atLargest) return `${beads(facts.count)}, ${apart(facts.spacing)}, which fade again`
  const ratio = facts.count / atLargest.count
  const once = facts.by === 'life' || (ratio < ALIKE && ratio > 1 / ALIKE)
  if (once) return beadsAtLargest(facts, ' beads')
  return `${beads(facts.count)}, later ${count(atLargest.count)}, ${apart(atLargest.spacing)} at the largest radius`
}

/** The full calculation goes to the largest radius only, and the quick estimate that sheds may see it otherwise. */
function noBeads({ outcome, firstBreakUp, maxRadiusTime }: Life['summary']): string {
  if (outcome !== 'sheds') return 'no beads are expected on its rim'
  return firstBreakUp >= maxRadiusTime
    ? 'its rim does not bead before the drop is largest'
    : 'the full calculation expects no beads on its rim'
}

/** As short as it can be told: "about 260 beads, later about 110, 1.3 mm apart". */
const shortNumbers = (facts: BeadFacts): string => beadNumbers(facts).replace(' at the largest radius', '')

/** What the rim does, as a clause without full stop; empty if nothing is known of it. */
export function beadClause(life: Life, facts: BeadFacts | null): string {
  if (!facts) return ''
  const { breakUp } = life.preset.ring
  switch (facts.verdict) {
    case 'none':
      return noBeads(life.summary)
    case 'depends':
      return 'its rim may or may not bead, depending on the drop/oil tension'
    case 'late':
      return `its rim only begins to bead${facts.atLargest ? `: ${beadsAtLargest(facts, ' beads')}` : ''}`
    case 'beads': {
      const from = facts.by === 'calculation' ? ` from ${duration(facts.from)} on` : ''
      const so = `${from}: ${shortNumbers(facts)}`
      return breakUp ? `its rim beads${so}` : `its rim would bead${so} (break-up is off)`
    }
  }
}

const limits =
  'These numbers come from a linear stability calculation on this life, with its rim kept whole. It predicts beads, and that the necks between them break, but no long fingers. What is shed comes from a quicker estimate, in which beads appear 1.5 to 2.5 times sooner.'

const capital = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}`

/** The reason behind the clause, in paragraphs; empty if nothing is known. */
export function beadReason(facts: BeadFacts | null): string[] {
  if (!facts) return []
  if (facts.by === 'life')
    return [
      'The numbers of the beads are a quick estimate for the largest radius; the full calculation follows when nothing else is being computed.',
    ]
  const band = bandWords(facts)
  const size = `Each bead would make a drop of ${length(facts.dropRadius, 2)} radius.`
  const told: Record<BeadFacts['verdict'], string[]> = {
    beads: [
      `Beads stand as high as the rim from ${duration(facts.from)} on${band && `, ${band}`}; waves are assumed to begin 1 µm high.`,
      `Then there are ${beads(facts.count)}, ${apart(facts.spacing)}; ${beadsAtLargest(facts, '')}. ${size}`,
    ],
    late: [
      `Beads do not grow as high as the rim before the drop is largest${band && `; ${band}`}. Waves are assumed to begin 1 µm high.`,
    ],
    none: ['Waves on the rim do not grow enough to be seen before the drop is largest.'],
    depends: [
      `Whether the rim beads ${tensionWords} (${TENSION_MOVES}).`,
      ...(facts.from >= 0
        ? [
            `With the tension as given: ${beads(facts.count)} from ${duration(facts.from)} on${band && `, ${band}`}.`,
          ]
        : band
          ? [`With the tension as given: ${band}.`]
          : []),
    ],
  }
  return [...told[facts.verdict].map(capital), limits]
}
