import { spreadOf } from '../engine/faces.ts'
import type { FilmState } from '../engine/filmState.ts'
import { LEAST, RADIUS } from '../engine/places.ts'
import { cbrt, square } from '../numerics/elementary.ts'
import { CLOSURE, CLOSURE_COUNT } from './problem.ts'

/** Largest shear dispersion, m²/s: the liquid is not mixed across faster than it passes. */
const MOST_SHEAR = 1e-6

/**
 * Dispersion at the inner faces, laid at the start of a step and kept through it: the constant, or molecular diffusion
 * with shear dispersion, D + s²/D: s² is the mean square over the depth of ∫ v′ dz, v′ the speed past its mean (G. I. Taylor,
 * Proc. R. Soc. A 219, 186 (1953); R. Aris, 235, 67 (1956)). Of mean speeds U_t of the tension's flow, linear in z, and U_p
 * of the pressure's, a half parabola, it is h² (U_t²/30 + U_t U_p/20 + 2 U_p²/105). At rest, U_p = −U_t, the film goes on
 * turning its liquid over, h² U_t²/420. Never more than MOST_SHEAR, never less than what keeps the stiff film
 * flux from carrying φ beyond its bounds (cell Péclet number 2).
 */
export class FilmDispersion {
  /** m²/s by face. */
  readonly at: Float64Array
  private readonly shear: Float64Array
  private constant: number | null = null

  constructor(private readonly state: FilmState) {
    this.at = state.dispersion
    this.shear = new Float64Array(state.cells + 1)
  }

  /** Forgets the steps so far; `constant` in m²/s, null for shear dispersion. */
  reset(constant: number | null): void {
    this.constant = constant
    this.at.fill(constant ?? 0)
    this.shear.fill(0)
  }

  /** Lays the dispersion for the state that the system has just evaluated, and puts it into the alcohol fluxes. */
  update(): void {
    const { state, constant } = this
    const { h, s, gap, cells } = state
    const R = state.now[RADIUS]
    for (let f = 1; f < cells; f++) {
      const flux = Math.abs(state.filmFlux[f]) / (s[f] * R)
      const dispersion = constant ?? this.sheared(f)
      const hm = Math.sqrt(Math.max(h[f - 1], LEAST) * Math.max(h[f], LEAST))
      const laid = Math.max(dispersion, (0.5 * flux * R * gap[f]) / hm)
      state.alcoholFlux[f] -= spreadOf(state, f, hm) * (laid - this.at[f])
      this.at[f] = laid
    }
  }

  private sheared(f: number): number {
    const { closure, stirring } = this.state
    const at = CLOSURE.diffusivity
    const molecular = 0.5 * (closure[(f - 1) * 2 * CLOSURE_COUNT + at] + closure[f * 2 * CLOSURE_COUNT + at])
    const wanted = Math.min(MOST_SHEAR, molecular + square(stirring[f]) / molecular)
    // In a resting drop the gradient falls as D rises and D rises with its square: taken over at once, step by step,
    // D would swing ever wider; a third of the way (in its logarithm) lands on the balance.
    const before = this.shear[f]
    const dispersion = before > 0 ? before * cbrt(wanted / before) : wanted
    this.shear[f] = dispersion
    return dispersion
  }
}
