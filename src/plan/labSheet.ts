/** The lab sheet of one drop: recipe, dish, what to expect, camera, cautions. Pure data; fits on one A4. */
import { bathWarnings } from '../life/bathFlow.ts'
import { drawnToPoint, offNotice } from '../life/mechanisms.ts'
import { alcoholShares } from '../life/shares.ts'
import type { Life, OutcomeName, Problem } from '../life/types.ts'
import { MOST_WAVES } from '../rim/scope.ts'
import {
  type BeadFacts,
  bandWords,
  basisWords,
  beadFacts,
  type CalculatedBeads,
  tensionWords,
} from './beads.ts'
import { type CameraPlan, cameraPlan, fieldForBeads, PIXELS_PER_BEAD } from './camera.ts'
import { cautionRows } from './cautions.ts'
import type { Dish } from './dish.ts'
import { figure, given } from './figures.ts'
import type { NearestChange } from './nearestChange.ts'
import type { Band, Reach } from './neighbours.ts'
import type { Pipette } from './pipette.ts'
import { type Recipe, recipeOf } from './recipe.ts'
import { type Strength, strengthWords } from './strength.ts'
import { pairNames, strengthText, thresholdOf } from './threshold.ts'

export interface SheetRow {
  label: string
  value: string
  unit: string
  note: string
}

export interface SheetSection {
  title: string
  rows: SheetRow[]
}

export interface SheetWish {
  /** The whole life of the drop, with real liquids. */
  life: Life
  stock: Strength
  /** Volume of mixture to make, mL. */
  mixture_mL: number
  frames: number
  /** Pixels across the shorter side of the picture. */
  pixels: number
  /** Neighbouring lives and compared dishes, if they were run. */
  band?: Band
  dish?: Dish
  pipette?: Pipette
  /** For a drop that stays a lens: what would make it spread. */
  nearest?: NearestChange
  /** How the rim breaks, if it was calculated; else the life's own estimate is told. */
  fingers?: CalculatedBeads | null
}

/** The numbers behind the rows. NaN where there is none. */
export interface SheetFigures {
  recipe: Recipe
  dropsPer_mL: number
  oil_mL: number
  oil_g: number
  maxRadius_mm: { low: number; central: number; high: number }
  maxRadiusTime_s: number
  collapseTime_s: number
  lifeEnd_s: number
  /** Smallest dish radius that does not disturb, mm, and how it was found. */
  smallestDish_mm: number
  smallestDishBy: string
  camera: CameraPlan
  /** Null if nothing is told of them. */
  beads: BeadFacts | null
}

export interface LabSheet {
  title: string
  note: string
  /** What must stand over everything in large letters; '' if nothing must. */
  notice: string
  sections: SheetSection[]
  figures: SheetFigures
}

export type SheetResult = { ok: true; sheet: LabSheet } | { ok: false; problems: Problem[] }

const row = (label: string, value: string | number, unit = '', note = ''): SheetRow => ({
  label,
  value: typeof value === 'number' ? figure(value) : value,
  unit: typeof value === 'number' && !Number.isFinite(value) ? '' : unit,
  note,
})

function countProblem(where: string, value: number, min: number, max: number): Problem[] {
  if (Number.isInteger(value) && value >= min && value <= max) return []
  return [
    { where, message: `The number of ${where} is ${value}. Permitted: whole numbers from ${min} to ${max}.` },
  ]
}

function problemsOf({ life, frames, pixels }: SheetWish): Problem[] {
  const problems = [
    ...countProblem('frames', frames, 2, 100_000),
    ...countProblem('pixels', pixels, 16, 100_000),
  ]
  if (life.preset.drop.alcohol === 'reference') {
    const message = 'The closed-form liquids are in no bottle: choose an alcohol and an oil for a lab sheet.'
    problems.push({ where: 'drop.alcohol', message })
  }
  if (life.status !== 'done' || life.summary.outcome === 'failed') {
    const message = `The life is not complete${life.summary.cause ? `: ${life.summary.cause}` : '.'}`
    problems.push({ where: 'life', message })
  }
  return problems
}

/** Radius of a dish in which the drop takes up 0.7 of it: common practice, no source. */
const RULE = 0.7

function dishOf(life: Life, reach: Reach, dish: Dish | undefined): { radius_mm: number; by: string } {
  if (dish?.status === 'done') {
    // Found for the central life; the largest drop of the band needs as much more.
    const grown = Math.max(1, reach.high / life.summary.maxRadius)
    const by = `${dish.criterion}; wall without meniscus, so take a wider one`
    return { radius_mm: Math.ceil(1e3 * dish.radius * grown), by }
  }
  return { radius_mm: Math.ceil((1e3 * reach.high) / RULE), by: 'the drop fills 0.7 of it (common practice)' }
}

function reachOfLife(life: Life, band: Band | undefined): Reach {
  const central = life.summary.maxRadius
  const found = band?.reach.maxRadius
  if (!found || !(found.central > 0)) return { central, low: central, high: central, most: undefined }
  const shift = central - found.central
  return {
    ...found,
    central,
    low: Math.min(central, found.low + shift),
    high: Math.max(central, found.high + shift),
  }
}

function figuresOf(wish: SheetWish, recipe: Recipe): SheetFigures {
  const { life } = wish
  const { drop, bath } = life.preset
  const reach = reachOfLife(life, wish.band)
  // π R² H in mm³ = 10⁻³ mL
  const oil_mL = 1e-3 * Math.PI * bath.dishRadius_mm ** 2 * bath.depth_mm
  const { radius_mm, by } = dishOf(life, reach, wish.dish)
  return {
    recipe,
    dropsPer_mL: 1000 / drop.volume_uL,
    oil_mL,
    oil_g: 1e-3 * oil_mL * life.facts.oilDensity,
    maxRadius_mm: { low: 1e3 * reach.low, central: 1e3 * reach.central, high: 1e3 * reach.high },
    maxRadiusTime_s: life.summary.maxRadiusTime,
    collapseTime_s: life.summary.collapseTime,
    lifeEnd_s: life.summary.lifeEnd,
    smallestDish_mm: radius_mm,
    smallestDishBy: by,
    camera: cameraPlan(life, reach.high, wish.frames, wish.pixels),
    beads: beadFacts(life, wish.fingers),
  }
}

function recipeRows({ recipe }: SheetFigures): SheetRow[] {
  const { errors } = recipe
  const measured = (mL: number, error: number, g: number) =>
    row('', mL, 'mL', `or ${figure(g)} g${error > 0 ? `; pipette ± ${figure(error, 2)} mL` : ''}`)
  return [
    row('Wanted', strengthWords(recipe.want)),
    row('Stock', strengthWords(recipe.stock)),
    { ...measured(recipe.stock_mL, errors.stock_mL, recipe.stock_g), label: 'Measure stock' },
    { ...measured(recipe.water_mL, errors.water_mL, recipe.water_g), label: 'Measure water' },
    row(
      'Gives',
      recipe.volume_mL,
      'mL',
      `${figure(recipe.contraction_mL, 2)} mL are lost on mixing; at ${given(recipe.temperature_C)} °C`,
    ),
    row(
      'Strength',
      `± ${figure(100 * errors.largest, 2)}`,
      '% by mass',
      'by the pipette alone; the weights are better',
    ),
    ...recipe.notes.map((note) => row('Note', note)),
  ]
}

function bathRows(life: Life, f: SheetFigures): SheetRow[] {
  const { drop, bath } = life.preset
  const narrow = bath.dishRadius_mm < f.smallestDish_mm ? 'THIS DISH IS TOO NARROW; ' : ''
  return [
    row(
      'Drop',
      given(drop.volume_uL),
      'µL',
      `${figure(f.dropsPer_mL)} drops per mL; set down ${given(2 * drop.startRadius_mm)} mm wide`,
    ),
    row(
      'Oil',
      f.oil_mL,
      'mL',
      `or ${figure(f.oil_g)} g of ${pairNames(life.preset).oil}: ${given(bath.depth_mm)} mm deep in a dish ${given(2 * bath.dishRadius_mm)} mm wide (flat floor)`,
    ),
    row('Smallest dish', given(2 * f.smallestDish_mm), 'mm wide', `${narrow}${f.smallestDishBy}`),
  ]
}

const OUTCOMES: Record<OutcomeName, string> = {
  lens: 'stays a lens',
  spreads: 'spreads; what comes after was not computed',
  recedes: 'spreads, then draws back',
  sheds: 'spreads and sheds child drops',
  dries: 'spreads and dries where it lies',
  'reaches-wall': 'reaches the wall of the dish',
  failed: 'not known',
}

const aboutCount = (n: number): string =>
  n < 1e6 ? `about ${figure(n, 2)}` : `about ${figure(n / 1e6, 2)} million`

/** The beads of the rim: how many, how far apart, from when on, and what that is worth. */
function beadRow(facts: BeadFacts | null): SheetRow[] {
  if (!facts) return []
  const { verdict, count, spacing, from, atLargest } = facts
  if (verdict === 'none') return [row('Beads on the rim', 'none expected', '', basisWords(facts))]
  if (verdict === 'depends') return [row('Beads on the rim', 'not certain', '', `that ${tensionWords}`)]
  const most = atLargest
    ? `${aboutCount(atLargest.count)}, ${figure(1e3 * atLargest.spacing, 2)} mm apart, when largest`
    : 'faded when largest'
  const band = bandWords(facts)
  const basis = `${basisWords(facts)}${band && `; ${band}`}`
  if (verdict === 'late') return [row('Beads on the rim', 'weak', '', `${most}; ${basis}`)]
  // The quick estimate has them far too early: it is trusted at the largest radius only.
  if (facts.by === 'life' && atLargest) {
    const apart = `${figure(1e3 * atLargest.spacing, 2)} mm apart when largest`
    return [row('Beads on the rim', aboutCount(atLargest.count), '', `${apart}; ${basis}`)]
  }
  const first = `${figure(1e3 * spacing, 2)} mm apart from ${figure(from, 2)} s on`
  return [
    row(
      'Beads on the rim',
      count >= MOST_WAVES ? 'at least 1000' : aboutCount(count),
      '',
      `${first}; ${most}; ${basis}`,
    ),
  ]
}

/** What the oil takes of the alcohol; nothing where it takes none. */
function uptakeRow({ series, preset, facts }: Life): SheetRow[] {
  const shares = alcoholShares(series)
  if (!(shares && shares.oil > 0)) return []
  const own =
    preset.bath.solubility === undefined ? `known within a factor ${figure(facts.uptake.factor, 2)}` : ''
  return [row('Taken up by the oil', figure(100 * shares.oil, 2), '% of the alcohol', own)]
}

function expectedRows({ life, band, nearest }: SheetWish, f: SheetFigures): SheetRow[] {
  const { summary } = life
  const { low, central, high } = f.maxRadius_mm
  const others = (band?.outcomes ?? []).filter((name) => name !== summary.outcome)
  const most = band?.shifts.find(({ input }) => input === band.reach.maxRadius.most)
  const [from, to] = summary.maxRadiusBand
  const range = high - low > 0.005 * central ? `${figure(low)} to ${figure(high)} mm` : ''
  const why = most ? `, moved most by the ${most.label} (${most.amount})` : ''
  return [
    row(
      'Outcome',
      drawnToPoint(life) ? 'is drawn together to a point' : OUTCOMES[summary.outcome],
      '',
      others.length > 0 ? `a neighbour ${others.map((name) => OUTCOMES[name]).join(', another ')}` : '',
    ),
    row('Largest radius', central, 'mm', range && `neighbours ${range}${why}`),
    ...(summary.outcome === 'lens'
      ? []
      : [row('Largest at', f.maxRadiusTime_s, 's', `within 1 % from ${figure(from)} to ${figure(to)} s`)]),
    ...(Number.isFinite(f.collapseTime_s) ? [row('Collapse', f.collapseTime_s, 's')] : []),
    row('Followed to', f.lifeEnd_s, 's'),
    ...(summary.thinnest.thickness > 0
      ? [
          row(
            'Thinnest',
            1e6 * summary.thinnest.thickness,
            'µm',
            `at ${figure(1e3 * summary.thinnest.radius)} mm`,
          ),
        ]
      : []),
    ...uptakeRow(life),
    ...beadRow(f.beads),
    ...(summary.childDrops.count > 0
      ? [
          row(
            'Child drops',
            aboutCount(summary.childDrops.count),
            '',
            `an estimate; half of their volume below ${figure(1e6 * summary.childDrops.medianRadius, 2)} µm radius`,
          ),
        ]
      : []),
    row('Threshold', thresholdOf(life.preset, life.facts).words),
    ...(nearest?.kind === 'stronger' ? [row('To make it spread', nearest.words)] : []),
    ...bathWarnings(life.series, life.facts).map((words) => row('Note', words)),
  ]
}

/** How many pixels a bead gets, and what to do if they are too few; nothing where no beads are told. */
function beadPixels({ beads, camera }: SheetFigures): SheetRow[] {
  if (!(beads?.verdict === 'beads')) return []
  const own = beads.by === 'life' ? beads.atLargest : null
  const { spacing } = own ?? beads
  const pixels = (1e3 * spacing) / camera.mmPerPixel
  const label = 'Pixels per bead'
  const when = own ? 'when the drop is largest; fewer before' : 'when they first show'
  if (pixels >= PIXELS_PER_BEAD) return [row(label, figure(pixels, 2), '', when)]
  const field = fieldForBeads(camera, spacing)
  const more = Math.ceil((camera.pixels * PIXELS_PER_BEAD) / pixels / 10) * 10
  const advice = `too few to count them: film a part of the rim, at most ${figure(field, 2)} mm of it, or take ${given(more)} pixels`
  return [row(label, figure(pixels, 2), '', advice)]
}

function cameraRows(f: SheetFigures): SheetRow[] {
  const { camera } = f
  const { interval_s, field_mm, mmPerPixel, jump_mm, jumpAt_s, frames, pixels } = camera
  return [
    row(
      'A frame every',
      interval_s,
      's',
      `${frames} frames to the end; ${figure(1 / interval_s)} per second`,
    ),
    row(
      'Field of view',
      field_mm,
      'mm',
      `shorter side, with 15 % to spare; ${figure(mmPerPixel, 2)} mm per pixel at ${pixels} pixels`,
    ),
    row(
      'Edge between frames',
      jump_mm,
      'mm',
      `at most, at ${figure(jumpAt_s, 2)} s: ${figure(jump_mm / mmPerPixel, 2)} pixels`,
    ),
    ...beadPixels(f),
    row('Scale', 'a ruler at the height of the oil in the first picture, straight from above, no flash'),
  ]
}

/** Lays the sheet out. Problems come back as messages; nothing is guessed. */
export function labSheet(wish: SheetWish): SheetResult {
  const { life } = wish
  const problems = problemsOf(wish)
  if (problems.length > 0) return { ok: false, problems }
  const { drop, air } = life.preset
  const made = recipeOf({
    alcohol: drop.alcohol,
    liquids: life.preset.liquids,
    stock: wish.stock,
    want: { by: 'mass', value: drop.alcoholMassFraction },
    volume_mL: wish.mixture_mL,
    temperature_C: air.temperature_C,
    ...(wish.pipette ? { pipette: wish.pipette } : {}),
  })
  if (!made.ok) return made
  const figures = figuresOf(wish, made.recipe)
  const { alcohol, oil } = pairNames(life.preset)
  const { want, stock } = made.recipe
  const sheet: LabSheet = {
    title: life.preset.title || `${alcohol} and water on ${oil}`,
    note: `${alcohol} and water, ${strengthText(life.preset, drop.alcoholMassFraction)}, on ${oil} at ${given(air.temperature_C)} °C. Expected by a model, not measured.`,
    notice: offNotice(life.preset),
    sections: [
      {
        title: 'Cautions',
        rows: cautionRows(drop.alcohol, want.percent, stock.percent, air.temperature_C, life.preset.liquids),
      },
      { title: 'Mixture', rows: recipeRows(figures) },
      { title: 'Drop and dish', rows: bathRows(life, figures) },
      { title: 'What to expect', rows: expectedRows(wish, figures) },
      { title: 'Camera', rows: cameraRows(figures) },
    ],
    figures,
  }
  return { ok: true, sheet }
}

const WIDTH = 110

/** Breaks a text at blanks into lines of at most `width`; every line but the first begins with `indent` blanks. */
function folded(text: string, indent: number): string {
  const lines = ['']
  for (const word of text.split(' ')) {
    const last = lines.at(-1)!
    const room = WIDTH - (lines.length > 1 ? indent : 0)
    if (last !== '' && last.length + 1 + word.length > room) lines.push(word)
    else lines[lines.length - 1] = last === '' ? word : `${last} ${word}`
  }
  return lines.join(`\n${' '.repeat(indent)}`)
}

const LABEL = 23

function lineOf({ label, value, unit, note }: SheetRow): string {
  const said = [value, unit, note && `(${note})`].filter((part) => part !== '').join(' ')
  const lines = folded(`${'_'.repeat(LABEL)}${said}`, LABEL)
  return `  ${label}`.padEnd(LABEL) + lines.slice(LABEL)
}

/** The sheet as plain text, lines of at most 110 characters. */
export function labSheetText(sheet: LabSheet): string {
  const parts = sheet.sections.map(({ title, rows }) => [title, ...rows.map(lineOf), ''].join('\n'))
  const notice = sheet.notice ? [folded(sheet.notice.toUpperCase(), 0), ''] : []
  return [sheet.title, folded(sheet.note, 0), '', ...notice, ...parts].join('\n')
}
