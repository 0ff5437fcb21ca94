/**
 * Thickness from the colours of a film in white light: the course of the thickness along the radius whose colours, by a table
 * that the caller gives, fit the picture best. Brightness of the lamp, white balance and stray light are found from the
 * picture. Thick films show no colours: there, and where two thicknesses fit about equally well, nothing is told.
 */
import { type CameraFit, fitCamera, startCameras } from './camera.ts'
import { bestCourse, type Costs, type Course } from './colourPath.ts'
import type { FilmColours, Piece, RadialLight, Thickness } from './types.ts'

export interface WhiteLight {
  colours: FilmColours
  /** Refractive index and its standard uncertainty: thicknesses go as its inverse. */
  index: number
  indexSigma: number
}

/**
 * Steps err alike, for the camera sees colours otherwise than the table: along the radius there are this many independent ones
 * when two courses are weighed against one another, and about one in so many steps for the error of one thickness.
 */
const INDEPENDENT = 12
const ALIKE = 4
/** Colours of a camera follow the table within this share of the light, at best. */
const LEAST_MISFIT = 0.01
/** Costs (half χ²): of a micrometre of change, of leaving the colours, and by how much another course must be worse. */
const PER_MICROMETRE = 2
const LEAVE = 6
const MARGIN = 4
/** Thicknesses farther apart than this are other answers, m. */
const APART = 60e-9
/** Most change of the thickness from one step to the next, m: more is not resolved. */
const STEEPEST = 40e-9
/** Colours of a picture that are farther from the table than this share of their own variation are other colours. */
const MOST_MISFIT = 0.5

function costsOf(profile: RadialLight, { colours }: WhiteLight, camera: CameraFit): Costs {
  const steps = profile.r.length
  const count = colours.light[0].length
  const states = count + 1
  const cost = new Float64Array(steps * states)
  const alike = Math.max(1, steps / INDEPENDENT)
  for (let i = 0; i < steps; i++) {
    for (let c = 0; c < 3; c++) {
      const value = profile.light[c]![i]! / camera.lamp(profile.r[i]!)
      const noise = Math.hypot(profile.error[c]![i]!, camera.misfit)
      const weight = 0.5 / (alike * noise * noise)
      const [gain, stray] = [camera.gain[c]!, camera.stray[c]!]
      const table = colours.light[c]!
      for (let s = 0; s < count; s++)
        cost[i * states + s]! += weight * (value - stray - gain * table[s]!) ** 2
      cost[i * states + count]! += weight * (value - stray - gain * colours.thick[c]!) ** 2
    }
  }
  const most = Math.max(1, Math.round(STEEPEST / colours.step))
  return { steps, states, cost, perState: 1e6 * PER_MICROMETRE * colours.step, most, leave: LEAVE }
}

/** Least light at which misfits are judged: a share of the mean. */
const leastMisfit = ({ light }: RadialLight): number =>
  (LEAST_MISFIT * light.reduce((sum, one) => sum + one.reduce((a, b) => a + b, 0), 0)) / (3 * light[0].length)

interface Found {
  course: Course
  costs: Costs
  camera: CameraFit
}

/** Course and camera in turn, until they agree. */
function settle(profile: RadialLight, wish: WhiteLight, start: CameraFit): Found {
  let camera = start
  let costs = costsOf(profile, wish, camera)
  let course = bestCourse(costs)
  const least = leastMisfit(profile)
  for (let round = 0; round < 6; round++) {
    camera = fitCamera(profile, wish.colours, course.best, least)
    costs = costsOf(profile, wish, camera)
    course = bestCourse(costs)
  }
  return { course, costs, camera }
}

/** Half width of the thicknesses that are no worse by more than one half, states; and the least costly place between states. */
function aboutBest({ course, costs }: Found, i: number): { state: number; sigma: number } {
  const { states, steps } = costs
  const finer = Math.max(1, steps / INDEPENDENT / ALIKE)
  const at = (s: number) => finer * course.excess[i * states + s]!
  const s = course.best[i]!
  let [low, high] = [s, s]
  while (low > 0 && at(low - 1) <= 0.5) low--
  while (high < states - 2 && at(high + 1) <= 0.5) high++
  const [a, b] = [
    s > 0 ? at(s - 1) : Number.POSITIVE_INFINITY,
    s < states - 2 ? at(s + 1) : Number.POSITIVE_INFINITY,
  ]
  const bend = a + b
  const shift = Number.isFinite(bend) && bend > 1e-9 ? (0.5 * (a - b)) / bend : 0
  // A parabola reaches one half at √(1/bend) from its lowest place.
  const narrow = Number.isFinite(bend) && bend > 1e-9 ? Math.sqrt(1 / bend) : 0
  return { state: s + Math.min(0.5, Math.max(-0.5, shift)), sigma: Math.max(0.5 * (high - low), narrow, 0.3) }
}

/** Whether some thickness farther off fits about as well. */
function isAmbiguous({ course, costs }: Found, i: number, apart: number): boolean {
  const { states } = costs
  const s = course.best[i]!
  for (let k = 0; k < states; k++) {
    if ((k === states - 1 || Math.abs(k - s) > apart) && course.excess[i * states + k]! < MARGIN) return true
  }
  return false
}

function piecesOf(h: Float64Array, perOrder: number): Piece[] {
  const pieces: Piece[] = []
  let from = -1
  for (let i = 0; i <= h.length; i++) {
    const told = i < h.length && !Number.isNaN(h[i]!)
    if (told && from < 0) from = i
    if (told || from < 0) continue
    const part = h.subarray(from, i)
    const orders = (part.reduce((a, b) => Math.max(a, b)) - part.reduce((a, b) => Math.min(a, b))) / perOrder
    pieces.push({ from, to: i - 1, absolute: true, signed: true, orders })
    from = -1
  }
  return pieces
}

/** Steps at the ends of a run that are left out: beside what is not resolved the blur mixes colours. */
const ENDS = 4
/** A colour farther than this many misfits from all of the table is none of the film's. */
const STRANGE = 3

/** Root mean square distance of the colours about a step from those of the course. */
function strangeness(
  profile: RadialLight,
  { colours }: WhiteLight,
  { course, camera }: Found,
  i: number,
): number {
  let [sum, count] = [0, 0]
  for (let j = Math.max(0, i - 1); j <= Math.min(profile.r.length - 1, i + 1); j++) {
    for (let c = 0; c < 3; c++) {
      const table = colours.light[c]![course.best[j]!] ?? colours.thick[c]!
      const left =
        profile.light[c]![j]! / camera.lamp(profile.r[j]!) - camera.stray[c]! - camera.gain[c]! * table
      const noise = Math.hypot(camera.misfit, profile.error[c]![j]!)
      sum += (left / noise) ** 2
      count++
    }
  }
  return Math.sqrt(sum / count)
}

/** Runs shorter than this (steps), or with less change than this (orders), are taken out: one colour is no fringe. */
const SHORTEST = 6
const LEAST_CHANGE = 0.3

function dropPoorRuns(into: Thickness, perOrder: number): void {
  const clear = (from: number, to: number) => {
    for (const list of [into.h, into.own, into.shared]) list.fill(Number.NaN, from, to + 1)
  }
  for (const { from, to } of piecesOf(into.h, perOrder)) {
    if (from > 0) clear(from, Math.min(to, from + ENDS - 1))
    clear(Math.max(from, to - ENDS + 1), to)
  }
  for (const { from, to, orders } of piecesOf(into.h, perOrder)) {
    if (to - from + 1 >= SHORTEST && orders >= LEAST_CHANGE) continue
    clear(from, to)
  }
}

/** Root mean square of the colours' variation along the radius. */
function variation({ light }: RadialLight): number {
  let sum = 0
  for (const values of light) {
    const mean = values.reduce((a, b) => a + b, 0) / values.length
    sum += values.reduce((a, b) => a + (b - mean) ** 2, 0) / values.length
  }
  return Math.sqrt(sum / 3)
}

/** Thickness along the radius in white light. Never throws; what cannot be told is NaN, and `notes` say why. */
export function thicknessWhiteLight(profile: RadialLight, wish: WhiteLight): Thickness {
  const { colours, index, indexSigma } = wish
  const count = profile.r.length
  const into: Thickness = {
    r: profile.r,
    h: new Float64Array(count).fill(Number.NaN),
    own: new Float64Array(count).fill(Number.NaN),
    shared: new Float64Array(count).fill(Number.NaN),
    pieces: [],
    fringes: [],
    turns: [],
    notes: [],
  }
  const found = startCameras(profile, colours)
    .map((start) => settle(profile, wish, start))
    .reduce((a, b) => (b.camera.quality < a.camera.quality ? b : a))
  const perOrder = 550e-9 / (2 * index)
  if (found.camera.misfit > MOST_MISFIT * variation(profile)) {
    into.notes.push(
      'No colours of a thin film were found: the film may be too thick to show any, the light not white, the picture edited, or the oil another one.',
    )
    return into
  }
  const { states } = found.costs
  for (let i = 0; i < count; i++) {
    if (found.course.best[i] === states - 1 || isAmbiguous(found, i, APART / colours.step)) continue
    if (strangeness(profile, wish, found, i) > STRANGE) continue
    const { state, sigma } = aboutBest(found, i)
    into.h[i] = state * colours.step
    into.own[i] = sigma * colours.step
    into.shared[i] = (into.h[i]! * indexSigma) / index
  }
  dropPoorRuns(into, perOrder)
  into.pieces = piecesOf(into.h, perOrder)
  const told = into.h.filter((h) => !Number.isNaN(h))
  if (told.length === 0)
    into.notes.push('No thickness fits the colours better than all others: nothing can be told.')
  else if (told.length < count) {
    const most = told.reduce((a, b) => Math.max(a, b))
    into.notes.push(
      `Gaps are where two thicknesses fit the colours about as well, or where there are none: nothing above ${(1e6 * most).toFixed(2)} µm could be told here.`,
    )
  }
  return into
}
