/**
 * Analytic Jacobian: a band of film blocks (the outer bath's part is kept by its own) and two columns beside it, the direct
 * dependence on the edge speed U, on which every mesh velocity depends, and on the radius R, on which every length depends.
 */
import type { FilmState } from './filmState.ts'
import { bathTerms, edgeTerms } from './jacobianBath.ts'
import { cellTerms } from './jacobianCells.ts'
import { fluxTerms, pressureTerms } from './jacobianFaces.ts'
import { clear, type Reals } from './memory.ts'
import { DRY, RADIUS } from './places.ts'

/** Jacobian at y, of which the rates have been evaluated last. */
export function linearise(q: FilmState, y: Reals): void {
  const cells = q.cells
  const R = q.now[RADIUS]
  const h = q.h
  const psi = q.psi
  clear(q.band.data, 0, q.outerAt * q.band.width)
  clear(q.byU, 0, q.n)
  clear(q.byR, 0, q.n)
  for (let i = 0; i < cells; i++) {
    const d = 1 / (h[i] * h[i] + DRY * DRY)
    const byPsi = h[i] * d
    const byH = (psi[i] - 2 * h[i] * q.phi[i]) * d
    const hR = (-2 * h[i]) / R
    q.phiPsi[i] = byPsi
    q.phiH[i] = byH
    q.hR[i] = hR
    q.phiR[i] = byH * hR - (2 * byPsi * psi[i]) / R
  }
  for (let i = 0; i < cells; i++) cellTerms(q, i)
  for (let f = 1; f < cells; f++) {
    pressureTerms(q, f)
    fluxTerms(q, f)
    if (q.modes > 0) bathTerms(q, f, y)
  }
  if (q.modes > 0) edgeTerms(q, y)
}
