/**
 * Twenty simulated lives, measured with independent and shared errors, fitted with priors: how many truths lie within 2 σ.
 *
 *     npm run -s chain -- [COUNT]
 */
import { chainOf } from './fixtures/wholeChain.ts'

const count = Number(process.argv[2] ?? 20)
let both = 0
const all: number[] = []
for (let seed = 1; seed <= count; seed++) {
  const { truth, fit, z } = await chainOf(seed)
  const within = z.every((one) => Math.abs(one) < 2)
  if (within) both++
  all.push(...z)
  const told = fit.unknowns.map(
    ({ value, statistical, systematic }, j) =>
      `${value.toPrecision(4)} ± ${statistical.toPrecision(2)} ± ${systematic.toPrecision(2)} (${[truth.rate, truth.oil][j]!.toPrecision(4)}, ${z[j]!.toFixed(2)} σ)`,
  )
  console.log(
    `${String(seed).padStart(3)}  ${told.join('   ')}  χ²/ν ${fit.reduced.toFixed(2)}  ${fit.lives} lives${fit.converged ? '' : ', not at its end'}`,
  )
}
const root = Math.sqrt(all.reduce((sum, z) => sum + z * z, 0) / all.length)
const share = (limit: number) => all.filter((z) => Math.abs(z) < limit).length
console.log(
  `both truths within 2 σ in ${both} of ${count}; of ${all.length} values ${share(1)} within 1 σ, ${share(2)} within 2 σ; r.m.s. ${root.toFixed(2)} σ`,
)
