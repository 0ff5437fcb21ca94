/** Films on a rigid floor against closed forms, solved anew by the engine. */
import { NO_FIELDS } from '../../model/bathFields.ts'
import { figure, percentText } from '../figures.ts'
import { atMost, between, worstShare } from './judges.ts'
import { evenFaces, idleProblem, Kernel } from './kernel.ts'
import { type Fact, fact } from './types.ts'

const gravityCurrent = fact<{ worst: number; fronts_mm: number[] }>({
  id: 'gravity-current',
  fact: 'A fixed volume of viscous liquid spreads on a rigid floor under its weight as t^(1/8): 10 mL, 1e-3 m²/s, front at 32.78, 43.71 and 58.29 mm after 1, 10 and 100 s.',
  source: 'Huppert, J. Fluid Mech. 121, 43 (1982); constants derived for this project',
  tolerance: 'agrees within 1 %: the mesh on which it is solved here',
  async measure(bench) {
    const [wall, early, weight, viscosity, volume] = [0.07, 0.01, 9810, 1, 1e-5]
    const drag = weight / (3 * viscosity)
    const xi = (1024 / (81 * Math.PI ** 3)) ** 0.125
    const front = (t: number) => xi * (drag * volume ** 3 * t) ** 0.125
    const top = (t: number) => xi ** (2 / 3) * (volume / (drag * t)) ** 0.25 * (3 / 16) ** (1 / 3)
    const problem = idleProblem(
      bench,
      { viscosity, levelling: 1e-12 },
      { fields: NO_FIELDS, edge: 'wall', startRadius: wall, dishRadius: 0.08, volume, buoyancy: weight },
    )
    const shape = (s: number) => {
      const x = (s * wall) / front(early)
      return 1e-6 + (x < 1 ? top(early) * (1 - x * x) ** (1 / 3) : 0)
    }
    const setting = { cells: 200, faces: evenFaces(200), rtol: 1e-3, floor: 1e-9, start: early }
    const kernel = new Kernel(bench, problem, setting, shape)
    const fronts: number[] = []
    const times = [1, 10, 100]
    for (const t of times) {
      await kernel.to(t)
      fronts.push(kernel.radiusAt(0.05 * kernel.sys.h[0]!))
    }
    return { worst: worstShare(fronts, times.map(front)), fronts_mm: fronts.map((r) => 1e3 * r) }
  },
  program: (n) =>
    `front at ${n.fronts_mm.map((r) => figure(r, 4)).join(', ')} mm; off by at most ${percentText(n.worst, 2)}`,
  judge: (n) => atMost(n.worst, 0.01),
})

/** Bessel function J0 by the trapezoidal rule on its integral, which converges geometrically for a periodic integrand. */
function besselJ0(x: number): number {
  const points = 64
  let sum = 0
  for (let k = 0; k < points; k++) sum += Math.cos(x * Math.sin((2 * Math.PI * (k + 0.5)) / points))
  return sum / points
}

const levelling = fact<{ rate: number; wanted: number }>({
  id: 'levelling',
  fact: 'A ripple J0(kr) on a film levels at the rate h³k²(ρg + γk²)/(3η).',
  source: 'lubrication theory, e.g. Oron, Davis & Bankoff, Rev. Mod. Phys. 69, 931 (1997), from memory',
  tolerance: 'agrees within 1 %: the mesh on which it is solved here',
  async measure(bench) {
    const [radius, h, viscosity, tension, weight] = [5e-3, 1e-4, 2e-3, 0.03, 9e3]
    // The second zero of J1 (Abramowitz & Stegun, table 9.5): no slope at the wall.
    const zero = 7.0155866698
    const k = zero / radius
    const problem = idleProblem(
      bench,
      { viscosity, levelling: tension },
      { fields: NO_FIELDS, edge: 'wall', startRadius: radius, dishRadius: 2 * radius, buoyancy: weight },
    )
    const wanted = (h ** 3 * k * k * (weight + tension * k * k)) / (3 * viscosity)
    const setting = { cells: 120, faces: evenFaces(120), rtol: 1e-9, floor: 1e-14 }
    const kernel = new Kernel(bench, problem, setting, (s) => h * (1 + 1e-4 * besselJ0(zero * s)))
    const height: number[] = []
    for (const t of [0.2, 1.2]) {
      await kernel.to(t / wanted)
      height.push(kernel.sys.h[0]! - h)
    }
    return { rate: Math.log(height[0]! / height[1]!) * wanted, wanted }
  },
  program: (n) => `${figure(n.rate, 4)} per second; the closed form gives ${figure(n.wanted, 4)}`,
  judge: (n) => between(n.rate / n.wanted, 0.99, 1.01),
})

const wetting = fact<{ radius: number; height: number }>({
  id: 'wetting-floor',
  fact: 'A small drop that wets a rigid floor spreads as t^(1/10), its height falls as t^(−1/5).',
  source: 'Tanner, J. Phys. D 12, 1473 (1979), from memory; exponents also in arXiv:1201.4005',
  tolerance: 'agrees within 0.005 in both exponents, which a logarithm changes slowly',
  async measure(bench) {
    const [wall, small, volume] = [0.02, 2e-3, 1e-9]
    const top = (2 * volume) / (Math.PI * small ** 2)
    const problem = idleProblem(
      bench,
      { viscosity: 1e-3, levelling: 0.02 },
      { fields: NO_FIELDS, edge: 'wall', startRadius: wall, dishRadius: 0.03, volume },
    )
    const setting = { cells: 200, faces: evenFaces(200), rtol: 1e-3, floor: 1e-9 }
    const shape = (s: number) => top * (1e-4 + Math.max(0, 1 - ((s * wall) / small) ** 2))
    const kernel = new Kernel(bench, problem, setting, shape)
    const [early, late] = [100, 1e5]
    const seen: { R: number; h: number }[] = []
    for (const t of [early, late]) {
      await kernel.to(t)
      const h = kernel.sys.h[0]!
      seen.push({ R: kernel.radiusAt(0.5 * h), h })
    }
    const exponent = (a: number, b: number) => Math.log(b / a) / Math.log(late / early)
    return { radius: exponent(seen[0]!.R, seen[1]!.R), height: exponent(seen[0]!.h, seen[1]!.h) }
  },
  program: (n) => `exponents ${figure(n.radius)} and ${figure(n.height)}`,
  judge: (n) => atMost(Math.max(Math.abs(n.radius - 0.1), Math.abs(n.height + 0.2)), 0.005),
})

export const FILMS: readonly Fact[] = [gravityCurrent, levelling, wetting]
