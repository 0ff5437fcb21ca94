/** Findings in words and as a table of text. */
import { type Finding, VERDICTS, type Verdict } from './types.ts'
import type { Validation } from './validate.ts'

const count = (findings: readonly Finding[], verdict: Verdict): number =>
  findings.filter((one) => one.verdict === verdict).length

/** "Of 70 facts 16 disagree, 6 cannot be told and 48 agree." */
export function summaryWords({
  findings,
  status,
  total,
}: Pick<Validation, 'findings' | 'status' | 'total'>): string {
  const [wrong, open, right] = VERDICTS.map((verdict) => count(findings, verdict))
  const all = status === 'done' ? `Of ${total} facts` : `Stopped: of ${findings.length} facts out of ${total}`
  return `${all} ${wrong} disagree${wrong === 1 ? 's' : ''}, ${open} cannot be told and ${right} agree${right === 1 ? 's' : ''}.`
}

/** What a verdict means, once for all. */
export const HOW_JUDGED =
  'Every number of the program is computed afresh here. How far a number may be off is stated with each fact, with the reason; a reason that names no source is common practice.'

/** Headings of the groups. */
export const HEADINGS: Record<Verdict, string> = {
  disagrees: 'Disagrees',
  'cannot tell': 'Cannot tell',
  agrees: 'Agrees',
}

/** Lines of at most `width` characters; a longer word stands alone. */
export function wrapped(text: string, width: number): string[] {
  const lines: string[] = []
  for (const word of text.split(' ')) {
    const last = lines.at(-1)
    if (last !== undefined && last.length + 1 + word.length <= width)
      lines[lines.length - 1] = `${last} ${word}`
    else lines.push(word)
  }
  return lines
}

const WIDTH = 100
const LABEL = 11

const row = (label: string, text: string): string[] =>
  wrapped(text, WIDTH - LABEL).map((line, i) => `${(i === 0 ? label : '').padEnd(LABEL)}${line}`)

/** A table for the terminal: a block a fact, what disagrees first. */
export function validationText(made: Validation): string {
  const blocks = VERDICTS.flatMap((verdict) => {
    const group = made.findings.filter((one) => one.verdict === verdict)
    if (group.length === 0) return []
    const heading = `${HEADINGS[verdict].toUpperCase()} (${group.length})`
    return [`${heading}\n${'-'.repeat(WIDTH)}`, ...group.map(block)]
  })
  return `${[summaryWords(made), wrapped(HOW_JUDGED, WIDTH).join('\n'), ...blocks].join('\n\n')}\n`
}

const block = ({ fact, program, tolerance, source }: Finding): string =>
  [
    ...row('fact', fact),
    ...row('program', program),
    ...row('judged', tolerance),
    ...row('source', source),
  ].join('\n')
