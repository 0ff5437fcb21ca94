/** Comparison and fits as readable text. Pure. */
import { offNotice } from '../life/mechanisms.ts'
import type { Preset } from '../life/types.ts'
import type { LifeFit } from '../measured/fit/types.ts'
import { wideningText } from '../measured/fit/widened.ts'
import {
  causeTexts,
  chanceText,
  goodnessText,
  numberText,
  numericalText,
  partsText,
  priorText,
  profileText,
  pullText,
  reasonText,
  unknownText,
} from '../measured/fit/words.ts'
import { type Compared, type Fitted, hypothesesOf } from './compareObject.ts'

const mm = (metres: number, digits = 3): string => numberText(1e3 * metres, digits)

function comparedLines(compared: readonly Compared[]): string[] {
  const rows = [
    ['curve', 'points', 'r.m.s. mm', 'bias mm', 'worst mm', 'before', 'after', 'outcome'],
    ...compared.map(({ curve, far, outcome }) => [
      curve.name,
      `${far.used} of ${far.residual.length}`,
      mm(far.rms),
      mm(far.bias),
      mm(far.worst),
      String(far.before),
      String(far.after),
      outcome,
    ]),
  ]
  return table(rows)
}

/** Cells in columns; the first to the left, the others to the right. */
function table(rows: readonly string[][]): string[] {
  const widths = rows[0]!.map((_, i) => Math.max(...rows.map((row) => row[i]!.length)))
  return rows.map(
    (row) =>
      `  ${row.map((text, i) => (i === 0 ? text.padEnd(widths[0]!) : text.padStart(widths[i]!))).join('  ')}`,
  )
}

function fitLines({ name, fit, cause, wide = false, profiles = [] }: Fitted): string[] {
  if (!fit) return [`Fit of ${name}`, `  failed: ${cause}`, '']
  const width = Math.max(...fit.unknowns.map(({ label }) => label.length)) + 2
  const unknowns = fit.unknowns.flatMap((unknown) => [
    `  ${unknown.label.padEnd(width)}${unknownText(unknown)}`,
    ...[partsText(unknown), priorText(unknown), reasonText(unknown), numericalText(unknown)]
      .filter(Boolean)
      .map((text) => `  ${' '.repeat(width)}${text}`),
  ])
  const curves = fit.curves.map(({ name: of, rms, bias, startTime, chiSquared, time }) => [
    of,
    String(time.length),
    Number.isFinite(chiSquared) ? numberText(chiSquared, 3) : '–',
    mm(rms),
    mm(bias),
    numberText(startTime),
  ])
  return [
    `Fit of ${name}`,
    ...unknowns,
    ...(fit.unknowns.length > 1 ? correlationLines(fit) : []),
    ...causeLines(fit),
    ...profiles.map(({ label, profile, cause: why }) =>
      profile ? `  profile: ${profileText(profile)}` : `  profile of ${label}: ${why}`,
    ),
    `  ${goodnessText(fit)}`,
    ...[wideningText(fit, wide)].filter(Boolean).map((text) => `  ${text}`),
    `  ${chanceText(fit)}`,
    ...table([['curve', 'points', 'χ²', 'r.m.s. mm', 'bias mm', 'contact s'], ...curves]),
    ...[...fit.warnings, ...fit.notes].map((text) => `  note: ${text}`),
    `  ${fit.lives} lives, accuracy ${fit.accuracy}: ${fit.ending}.`,
    '',
  ]
}

/** What is known beside the points, what the fit makes of it, and what it adds to the errors. */
function causeLines({ causes, unknowns }: LifeFit): string[] {
  if (causes.length === 0) return []
  const rows = causes.map((cause) => {
    const { stated, found } = causeTexts(cause)
    return [
      cause.label,
      stated,
      found,
      pullText(cause.pull),
      ...cause.shifts.map((shift) => numberText(shift, 2)),
    ]
  })
  const moves = unknowns.map(({ label, unit }) => `1 σ of it moves ${label}${unit && `, ${unit}`}`)
  return [
    '  known beside the points',
    ...table([['', 'stated', 'the fit makes of it', 'pull', ...moves], ...rows]),
  ]
}

function correlationLines({ unknowns, correlation }: LifeFit): string[] {
  const n = unknowns.length
  const pairs: string[][] = []
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const value = correlation[i * n + j]!
      const text = Number.isFinite(value) ? value.toFixed(3).replace('-', '−') : '–'
      pairs.push([`  ${unknowns[i]!.label} with ${unknowns[j]!.label}`, text])
    }
  }
  return ['  correlation', ...table(pairs)]
}

function hypothesisLines(fits: readonly Fitted[]): string[] {
  if (fits.length < 2) return []
  const made = hypothesesOf(fits)
  if (!made.ok) return ['Which is better?', `  ${made.reason}`, '']
  const rows = made.ranked.map(({ name, aicc, difference, weight }) => [
    name,
    numberText(aicc),
    numberText(difference, 3),
    weight < 1e-3 ? 'below 0.1' : numberText(100 * weight, 2),
  ])
  return [
    'Which is better?',
    ...table([['fit', 'AICc', 'difference', 'weight %'], ...rows]),
    `  ${made.words}`,
    '',
  ]
}

/** The readable text. */
export function compareText(preset: Preset, compared: readonly Compared[], fits: readonly Fitted[]): string {
  const failures = compared
    .filter(({ failed }) => failed !== '')
    .map(({ curve, failed }) => `  ${curve.name}: the life failed: ${failed}`)
  const notice = offNotice(preset)
  return [
    ...(preset.title ? [preset.title, ''] : []),
    ...(notice ? [notice, ''] : []),
    'As it stands (measured minus life)',
    ...comparedLines(compared),
    ...failures,
    '',
    ...fits.flatMap(fitLines),
    ...hypothesisLines(fits),
  ].join('\n')
}
