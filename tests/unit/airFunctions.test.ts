/**
 * Functions that the air over a drop is made of: J1, I1, K1, E3, and the elliptic integrals K and E of the parameter m.
 * Answers: scipy 1.17 (scipy.special j1, i1e, k1e, expn, ellipk, ellipe), 15 digits, computed once and quoted.
 */
import { describe, it } from 'vitest'
import { besselJ1, scaledI1, scaledK1 } from '../../src/numerics/besselOne.ts'
import { ellipticKE } from '../../src/numerics/elliptic.ts'
import { exponentialE3 } from '../../src/numerics/exponentialIntegral.ts'
import { expectClose } from '../matchers.ts'

const each = (
  found: (x: number) => number,
  table: readonly (readonly [number, number])[],
  atol = 0,
  rtol = 2e-13,
) => {
  for (const [x, value] of table) expectClose(found(x), value, { rtol, atol }, `at ${x}`)
}

describe('beside scipy', () => {
  it('J1', () => {
    each(
      besselJ1,
      [
        [0, 0],
        [0.01, 0.00499993750026042],
        [0.3, 0.148318816273104],
        [0.5, 0.242268457674874],
        [1, 0.440050585744934],
        [3.8, 0.0128210029267317],
        [10, 0.0434727461688614],
        [33.3, 0.12386214790148],
        [66, 0.0671754780889732],
        [150, -0.0651451636577274],
      ],
      1e-14,
    )
  })
  it('e^−x I1', () => {
    each(scaledI1, [
      [0, 0],
      [0.01, 0.00495031104711828],
      [0.5, 0.156420803184872],
      [2, 0.215269289248938],
      [7, 0.142289234709599],
      [19.9, 0.0877171021317061],
      [20, 0.0875062221832887],
      [50, 0.0559931238928954],
      [3000, 0.00728274565205475],
    ])
  })
  it('e^x K1', () => {
    each(scaledK1, [
      [0.01, 100.97864845824],
      [0.5, 2.73100970821179],
      [2, 1.03347684706869],
      [7, 0.498071575095477],
      [19.9, 0.286167440086321],
      [20, 0.285425496940726],
      [50, 0.178566558558816],
      [3000, 0.0228851408088374],
    ])
  })
  it('E3', () => {
    each(
      exponentialE3,
      [
        [0, 0.5],
        [1e-6, 0.499999000007369],
        [0.01, 0.490276564184665],
        [0.5, 0.221604364275178],
        [1, 0.10969196719776],
        [1.001, 0.109543581321669],
        [3, 0.00893064655602273],
        [9.9, 3.9533493884138e-6],
        [10.1, 3.18578704088484e-6],
        [40, 9.89529379465724e-20],
      ],
      0,
      1e-12,
    )
  })
  it('K and E', () => {
    const table = [
      [0, 1.5707963267949, 1.5707963267949],
      [1e-3, 1.57118924692334, 1.57040355405142],
      [0.3, 1.71388944817879, 1.44536306441267],
      [0.5, 1.85407467730137, 1.35064388104768],
      [0.9, 2.57809211334817, 1.10477473270407],
      [0.999999, 8.29405146360106, 1.00000389702617],
      [1, Number.POSITIVE_INFINITY, 1],
    ] as const
    each(
      (m) => ellipticKE(m)[1],
      table.map(([m, , E]) => [m, E] as const),
    )
    // K near m = 1 suffers from the digits of m itself.
    each(
      (m) => 1 / ellipticKE(m)[0],
      table.map(([m, K]) => [m, 1 / K] as const),
      1e-11,
    )
  })
})
