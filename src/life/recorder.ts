/** Keeps the moments of a run and hands them out as frames and series. */

import type { Beading } from '../model/breakUp.ts'
import { BOOKS, type FilmSystem } from '../model/film.ts'
import { type CellLosses, lossesOf } from '../model/filmLosses.ts'
import { CLOSURE, CLOSURE_COUNT } from '../model/problem.ts'
import type { RingShape } from '../model/ring.ts'
import type { LifeFrames, LifeSeries } from './types.ts'

/** A Float64Array that grows by doubling and keeps its room from life to life. */
class Column {
  data: Float64Array
  length = 0

  constructor(room: number) {
    this.data = new Float64Array(room)
  }

  /** Room for `count` more values; returns the index of the first. */
  extend(count: number): number {
    const at = this.length
    this.length += count
    if (this.length > this.data.length) {
      const larger = new Float64Array(Math.max(2 * this.data.length, this.length))
      larger.set(this.data)
      this.data = larger
    }
    return at
  }
  push(value: number): void {
    const at = this.extend(1)
    this.data[at] = value
  }
  append(values: Float64Array): void {
    const at = this.extend(values.length)
    this.data.set(values, at)
  }
  copy(): Float64Array {
    return this.data.slice(0, this.length)
  }
}

const SERIES_KEYS = [
  't',
  'R',
  'U',
  'centre',
  'thin',
  'thinRadius',
  'ringHeight',
  'ringRadius',
  'ringWidth',
  'ringVolume',
  'volume',
  'alcohol',
  'evaporatedVolume',
  'evaporatedAlcohol',
  'inOil',
  'childVolume',
  'childAlcohol',
  'childCount',
  'childRadius',
  'beads',
  'beadAmplitude',
  'beadRadius',
  'ringBase',
] as const satisfies readonly (keyof LifeSeries)[]

const FIELD_KEYS = [
  'h',
  'phi',
  'sigma',
  'gammaA',
  'u',
  'surfaceSpeed',
  'pullAbove',
  'pullBelow',
  'pullCapillary',
  'edgePull',
  'flux',
  'vapour',
  'uptake',
  'shed',
] as const

type Columns<K extends string> = Record<K, Column>
const columns = <K extends string>(keys: readonly K[], room: number): Columns<K> =>
  Object.fromEntries(keys.map((key) => [key, new Column(room)])) as Columns<K>

/** Drops of a radius (m) in a cubic metre. */
const perVolume = (radius: number): number => 3 / (4 * Math.PI * radius * radius * radius)

export class Recorder {
  count = 0
  /** Largest thickness so far, m. */
  thickest = 0
  /** Whether the fields are kept, too. */
  private whole = true
  private readonly series = columns(SERIES_KEYS, 512)
  private readonly fields: Columns<(typeof FIELD_KEYS)[number]>
  private childCount = 0
  private lastChildVolume = 0
  /** Radius of the drops that leave in the step under way, m. */
  private childRadius = Number.NaN

  /** Tension above and below the film in the cells, N/m. */
  private readonly top: Float64Array
  private readonly low: Float64Array

  constructor(private readonly sys: FilmSystem) {
    this.fields = columns(FIELD_KEYS, 256 * sys.mesh.cells)
    this.top = new Float64Array(sys.mesh.cells)
    this.low = new Float64Array(sys.mesh.cells)
  }

  /** Forgets what is recorded; the room for it is kept. @param whole whether frames will be asked for */
  reset(whole = true): void {
    this.whole = whole
    this.count = 0
    this.thickest = Number.NEGATIVE_INFINITY
    this.childCount = this.lastChildVolume = 0
    this.childRadius = Number.NaN
    for (const key of SERIES_KEYS) this.series[key].length = 0
    for (const key of FIELD_KEYS) this.fields[key].length = 0
  }

  /** Records the state last evaluated by the system. */
  record(t: number, y: Float64Array, ring: RingShape, beading: Beading): void {
    const { sys } = this
    this.count++
    const { h } = sys
    for (let i = 0; i < h.length; i++) this.thickest = Math.max(this.thickest, h[i])
    if (this.whole) this.recordFields(y)
    const s = this.series
    const book = (k: number) => 2 * Math.PI * y[sys.booksAt + k]
    const child = book(BOOKS.childVolume)
    // What left in the last step left in drops between those that were laid for it and those that are laid now.
    const before = this.childRadius
    const now = sys.shedRate > 0 ? beading.dropRadius : before
    const left = child - this.lastChildVolume
    if (before > 0 && left > 0) this.childCount += 0.5 * left * (perVolume(before) + perVolume(now))
    this.lastChildVolume = child
    this.childRadius = sys.shedRate > 0 ? beading.dropRadius : Number.NaN
    s.t.push(t)
    s.R.push(sys.R)
    s.U.push(sys.U)
    s.centre.push(Math.max(0, sys.h[0]))
    s.thin.push(ring.thin)
    s.thinRadius.push(ring.thinRadius)
    s.ringHeight.push(ring.height)
    s.ringRadius.push(ring.radius)
    s.ringWidth.push(ring.width)
    s.ringVolume.push(ring.volume)
    s.volume.push(sys.content(y, 0))
    s.alcohol.push(sys.content(y, 1))
    s.evaporatedVolume.push(book(BOOKS.lostVolume))
    s.evaporatedAlcohol.push(book(BOOKS.lostAlcohol))
    s.inOil.push(sys.inOil(y))
    s.childVolume.push(child)
    s.childAlcohol.push(book(BOOKS.childAlcohol))
    s.childCount.push(this.childCount)
    s.childRadius.push(this.childRadius)
    s.beads.push(beading.count)
    s.beadAmplitude.push(beading.amplitude)
    s.beadRadius.push(beading.beadRadius)
    s.ringBase.push(beading.base)
  }

  private recordFields(y: Float64Array): void {
    const { sys, fields } = this
    const { mesh, h, closure } = sys
    const N = mesh.cells
    fields.h.append(h)
    fields.phi.append(sys.phi)
    fields.sigma.append(sys.sigma)
    const at = fields.gammaA.extend(N)
    const gamma = fields.gammaA.data
    for (let i = 0; i < N; i++) gamma[at + i] = closure[i * 2 * CLOSURE_COUNT + CLOSURE.gammaA]
    this.recordBath(y)
    this.recordPulls()
    this.recordBudget()
  }

  private readonly losses: CellLosses = { vapour: 0, oil: 0, child: 0 }

  /** What makes and takes the thickness: flux through the faces, losses of the cells. */
  private recordBudget(): void {
    const { sys, fields, losses } = this
    const { cells } = sys.mesh
    const face = fields.flux.extend(cells + 1)
    const flux = fields.flux.data
    flux[face] = flux[face + cells] = 0
    for (let f = 1; f < cells; f++) flux[face + f] = sys.volumeFlux[f]
    sys.layVapour()
    // The three grow alike: one place in all of them.
    const at = fields.vapour.extend(cells)
    fields.uptake.extend(cells)
    fields.shed.extend(cells)
    for (let i = 0; i < cells; i++) {
      lossesOf(sys, i, losses)
      fields.vapour.data[at + i] = losses.vapour
      fields.uptake.data[at + i] = losses.oil
      fields.shed.data[at + i] = losses.child
    }
  }

  private recordBath(y: Float64Array): void {
    const { sys, fields } = this
    const { mesh, modes } = sys
    const K = mesh.outer
    const at = fields.u.extend(mesh.cells + 1 + K)
    const { data } = fields.u
    data[at] = 0
    for (let f = 1; f <= mesh.cells; f++) data[at + f] = sys.speed[f]
    for (let k = 1; k <= K; k++) {
      let u = 0
      if (k < K) for (let m = 0; m < modes; m++) u += y[sys.outerAt + m * (K - 1) + k - 1]
      data[at + mesh.cells + k] = u
    }
  }

  private recordPulls(): void {
    const { sys, fields, top, low } = this
    const { mesh, h, closure, cover, pressure, problem, R } = sys
    const { gammaO } = problem
    const N = mesh.cells
    for (let i = 0; i < N; i++) {
      const at = i * 2 * CLOSURE_COUNT
      const gammaA = closure[at + CLOSURE.gammaA]
      top[i] = cover[i] * gammaA
      low[i] = gammaO - cover[i] * (gammaA + closure[at + CLOSURE.spreading])
    }
    // The four grow alike: one place in all of them.
    const first = fields.pullAbove.extend(N + 1)
    fields.pullBelow.extend(N + 1)
    fields.pullCapillary.extend(N + 1)
    fields.surfaceSpeed.extend(N + 1)
    const above = fields.pullAbove.data
    const below = fields.pullBelow.data
    const capillary = fields.pullCapillary.data
    const surface = fields.surfaceSpeed.data
    above[first] = below[first] = capillary[first] = surface[first] = 0
    for (let f = 1; f < N; f++) {
      const a = f - 1
      const d = R * mesh.gap[f]
      const pullTop = (top[f] - top[a]) / d
      const pullLow = (low[f] - low[a]) / d
      above[first + f] = pullTop
      below[first + f] = pullLow
      capillary[first + f] = sys.force[f] - pullTop - pullLow
      const thickness = Math.sqrt(Math.max(0, h[a]) * Math.max(0, h[f]))
      const at = CLOSURE.viscosity
      const viscosity = 0.5 * (closure[a * 2 * CLOSURE_COUNT + at] + closure[f * 2 * CLOSURE_COUNT + at])
      const lean = (thickness * (pressure[f] - pressure[a])) / (2 * d)
      surface[first + f] = sys.speed[f] + (thickness / viscosity) * (pullTop - lean)
    }
    const gap = sys.edgeGap
    above[first + N] = -top[N - 1] / gap
    below[first + N] = (gammaO - low[N - 1]) / gap
    capillary[first + N] = (sys.edgePull - gammaO + sys.sigma[N - 1]) / gap
    surface[first + N] = sys.U
    fields.edgePull.push(sys.edgePull)
  }

  /** Last recorded value of a series. */
  last(key: keyof LifeSeries): number {
    return this.series[key].data[this.count - 1]
  }

  /** Copies of everything recorded so far; no moments where the fields are not kept. */
  frames(): LifeFrames {
    const { mesh } = this.sys
    const fields = Object.fromEntries(FIELD_KEYS.map((key) => [key, this.fields[key].copy()])) as Record<
      (typeof FIELD_KEYS)[number],
      Float64Array
    >
    return {
      count: this.whole ? this.count : 0,
      inner: mesh.cells,
      outer: mesh.outer,
      sFaces: mesh.s.slice(),
      gFaces: mesh.g.slice(),
      t: this.moments('t'),
      R: this.moments('R'),
      U: this.moments('U'),
      ...fields,
    }
  }

  private moments(key: 't' | 'R' | 'U'): Float64Array {
    return this.whole ? this.series[key].copy() : new Float64Array(0)
  }

  lifeSeries(): LifeSeries {
    return Object.fromEntries(
      SERIES_KEYS.map((key) => [key, this.series[key].copy()]),
    ) as unknown as LifeSeries
  }
}
