/**
 * Where the beads stand along the half circle that the stage shows, as a function of their number alone, which changes
 * without a break in the course of a life. The half circle has equal sectors with a whole number of waves each; as the
 * number changes, one sector after the other gains or loses a wave, so that beads part and merge here and there and never
 * run along the rim. At the cuts (0 and π) the edge is where the computed section has it.
 */

import { smoothStep } from '../../numerics/smoothStep.ts'

const sectors = 6
/** Order in which the sectors change. */
const order = [3, 0, 5, 2, 4, 1] as const
/** Share of the way from one change to the next over which one number of waves gives way to another. */
const fading = 0.4
/** Columns of the mesh for one bead, and for the half circle. */
const perBead = 8
export const fewestColumns = 96
export const mostColumns = 2016

/**
 * Waves of sector k of a rim with n beads round the whole drop: a whole number but for the time in which one comes or goes.
 * Rounded with the offsets (j + ½)/K the sectors add up to n/2 rounded (Hermite's identity: Σ ⌊x + j/K⌋ = ⌊Kx⌋).
 */
function wavesOf(n: number, k: number): number {
  const y = n / (2 * sectors) + (order[k]! + 0.5) / sectors - 0.5
  const lower = Math.floor(y)
  const x = Math.min(1, Math.max(0, (y - lower - 0.5) / fading + 0.5))
  return Math.max(0, lower + x * x * (3 - 2 * x))
}

/** Whole number of waves of sector k. */
const wavesIn = (n: number, k: number): number => Math.floor(n / (2 * sectors) + (order[k]! + 0.5) / sectors)

/** Beads on the half circle. */
export function beadsShown(n: number): number {
  let sum = 0
  for (let k = 0; k < sectors; k++) sum += wavesIn(n, k)
  return sum
}

/** Direction (rad, 0–π) of the middle of bead j (0 … beadsShown − 1). */
export function beadAngle(n: number, j: number): number {
  let left = j
  for (let k = 0; k < sectors; k++) {
    const waves = wavesIn(n, k)
    if (left < waves) {
      // Counted from the nearer end of the sector, where the waves are held.
      const w = Math.max(0.5, wavesOf(n, k))
      const u = 2 * left + 1 <= waves ? (left + 0.25) / w : 1 - (waves - left - 0.25) / w
      return ((k + u) * Math.PI) / sectors
    }
    left -= waves
  }
  return Math.PI / 2
}

/** Columns of a mesh that shows n beads. */
export const columnsFor = (n: number): number =>
  Math.min(mostColumns, fewestColumns * Math.max(1, Math.ceil((perBead * n) / 2 / fewestColumns)))

/**
 * Displacement at u (0–1 along a sector of w waves) and its derivative along u. The waves are held at both ends; where w is
 * no whole number they do not meet in the middle, and one of them is missing there.
 */
function waveAt(w: number, u: number): [number, number] {
  const turn = 2 * Math.PI * w
  const left = Math.sin(turn * u)
  const right = -Math.sin(turn * (1 - u))
  const reach = Math.min(0.5, 0.5 / w)
  const x = Math.min(1, Math.max(0, (u - 0.5 + reach) / (2 * reach)))
  const part = x * x * (3 - 2 * x)
  const slope = (1 - part) * Math.cos(turn * u) + part * Math.cos(turn * (1 - u))
  const passing = (6 * x * (1 - x)) / (2 * reach)
  return [left + part * (right - left), turn * slope + passing * (right - left)]
}

/**
 * Displacement of the edge (−1 … 1) and its derivative along the angle (1/rad) at columns + 1 even angles from 0 to π, two
 * numbers each. @param strength 0–1 at an angle: how far the beads are shown there
 */
export function fillWave(
  into: Float32Array,
  columns: number,
  n: number,
  strength: (angle: number) => number,
): void {
  const waves = Array.from({ length: sectors }, (_, k) => wavesOf(n, k))
  for (let i = 0; i <= columns; i++) {
    const place = (sectors * i) / columns
    const k = Math.min(sectors - 1, Math.floor(place))
    const [c, slope] = waves[k]! > 0 ? waveAt(waves[k]!, place - k) : [0, 0]
    const shown = strength((Math.PI * i) / columns)
    into[2 * i] = shown * c
    into[2 * i + 1] = (shown * slope * sectors) / Math.PI
  }
}

/** How far (0–1) beads `px` pixels apart are shown: none that are narrower than two. */
export const shownAt = (px: number): number => smoothStep(2, 3.5, px)

/** How far (0–1) a displacement shows: not at all below 0.3 px and a twentieth of the base. */
export const shownBy = (px: number, ofBase: number): number =>
  Math.max(smoothStep(0.3, 0.5, px), smoothStep(0.05, 0.08, ofBase))
