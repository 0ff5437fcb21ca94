/** What a choice costs. Computes no life, and can be asked by the page. */
import { candidatesOf, combinationsOf } from './candidates.ts'
import { wishProblems } from './checks.ts'
import { type ChooseWish, type Cost, type Measuring, type Problem, USUAL, USUAL_MEASURING } from './types.ts'

/** Quick lives that one drop costs at one place; at the first place comes one finer life. */
export const livesEach = (unknowns: number, { volume }: Measuring): number =>
  1 + 2 * unknowns + (volume > 0 ? 2 : 0)

/** How the drops of a wish are measured. */
export const measuringOf = (wish: ChooseWish): Measuring => ({ ...USUAL_MEASURING, ...wish.measuring })

/** What a choice costs, or what is wrong with the wish. Computes no life. */
export function costOf(wish: ChooseWish): { ok: true; cost: Cost } | { ok: false; problems: Problem[] } {
  const measuring = measuringOf(wish)
  const problems = wishProblems(wish, measuring)
  if (problems.length > 0) return { ok: false, problems }
  const { most = USUAL.most, draws = USUAL.draws } = wish
  const { candidates } = candidatesOf(wish.vary, wish.preset, most)
  const lives = candidates.length * draws * livesEach(wish.unknowns.length, measuring)
  return {
    ok: true,
    cost: { kinds: candidates.length, combinations: combinationsOf(wish.vary), draws, lives },
  }
}
