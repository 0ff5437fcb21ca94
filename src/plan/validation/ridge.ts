/** The calculation of beads against the closed form for a free ridge. */
import { RimBase } from '../../rim/base.ts'
import { rimGeometry } from '../../rim/geometry.ts'
import { rimKernels } from '../../rim/kernels.ts'
import { RimMarch } from '../../rim/march.ts'
import { RimOperator } from '../../rim/operator.ts'
import { layState, stateSystem } from '../../rim/states.ts'
import { figure } from '../figures.ts'
import type { Bench } from './bench.ts'
import { between } from './judges.ts'
import { idleProblem } from './kernel.ts'
import { type Fact, fact } from './types.ts'

/** Half width and place of the ridge, m (so far out that it is straight), S and γ_eff, N/m. */
const [HALF, OUT, PULL, TENSION, CELLS] = [0.25e-3, 1, -0.2e-3, 5e-3, 40]

/** Growth rate, 1/s, of varicose waves on a ridge at rest, as a function of k times half its width. */
function growthOnRidge(bench: Bench): (kw: number) => number {
  const faces = Float64Array.from({ length: CELLS + 1 }, (_, f) => {
    const x = 1 - f / CELLS
    return f === CELLS ? 1 : 1 - (HALF / OUT) * 0.5 * (x + x * x)
  })
  const problem = idleProblem(
    bench,
    { spreading: PULL, levelling: TENSION, viscosity: 2.5e-3 },
    { oilViscosity: 0.05, coverage: 1e-12 },
  )
  const sys = stateSystem(problem, faces)
  // At rest the pressure is even: the slope falls in proportion to the distance from the middle.
  const { s, gap } = sys.mesh
  const angle = Math.sqrt((-2 * PULL) / TENSION)
  const h = new Float64Array(CELLS)
  let height = 0
  for (let i = CELLS - 1; i >= 0; i--) {
    height += angle * ((s[i + 1]! - faces[0]!) / (1 - faces[0]!)) * gap[i + 1]! * OUT
    h[i] = height
  }
  const state = { R: OUT, h: (i: number) => h[i]!, psi: (i: number) => 0.5 * h[i]!, speed: () => 0 }
  layState(sys, sys.vector(), state, 1)
  const shift = { low: 1 - (0.8 * HALF) / OUT, high: 1 - (0.3 * HALF) / OUT }
  const geometry = rimGeometry(sys.mesh, { from: 0, inside: 'mirror', shift })
  const operator = new RimOperator(geometry)
  const base = new RimBase(geometry, sys)
  return (kw) => {
    operator.lay(base, rimKernels(geometry, (kw / HALF) * OUT))
    const march = new RimMarch(operator.size)
    for (let k = 0; k < 12; k++) march.step(operator, 1)
    const last = operator.size - 1
    let rate = 0
    for (let u = 0; u <= last; u++) rate += operator.matrix[last * operator.size + u]! * march.x[u]!
    return rate / march.x[last]!
  }
}

const neutral = fact<{ kw: number }>({
  id: 'ridge',
  fact: 'Beads on a free ridge of half width w neither grow nor fade where kw tanh kw = 1, at kw = 1.1997.',
  source: 'Rayleigh–Plateau instability of a ridge with moving edges, derived for this project',
  tolerance: 'agrees within 0.01: the mesh on which it is solved here',
  measure(bench) {
    const rate = growthOnRidge(bench)
    let [low, high] = [1, 1.4]
    if (!(rate(low) > 0 && rate(high) < 0)) return { kw: Number.NaN }
    for (let k = 0; k < 9; k++) {
      const middle = (low + high) / 2
      if (rate(middle) > 0) low = middle
      else high = middle
    }
    return { kw: (low + high) / 2 }
  },
  program: (n) => `neutral at kw = ${figure(n.kw, 4)}`,
  judge: (n) => between(n.kw, 1.1897, 1.2097),
})

export const RIDGE: readonly Fact[] = [neutral]
