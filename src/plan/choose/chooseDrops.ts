/** Which drops to put down, so that the unknowns of a fit come out best: Bayesian optimal design over a few places of what is known. */
import { Foresight, type LifeRunner } from '../../life/lives.ts'
import { bestDesign, type DesignProblem } from '../../numerics/design/exchange.ts'
import type { WorkHooks } from '../work.ts'
import { type Candidates, candidatesOf, evenSpread } from './candidates.ts'
import { wishProblems } from './checks.ts'
import { livesEach, measuringOf } from './cost.ts'
import { correlationOf, counted, errorsOf, geometricMean, middleErrors } from './judged.ts'
import { type Asked, firstLives, type Learned, learnedOf } from './learned.ts'
import { drawsOf, unknownOf } from './priors.ts'
import {
  type AtCount,
  type Choice,
  type ChoiceResult,
  type ChooseWish,
  type Seen,
  type Unknown,
  USUAL,
} from './types.ts'
import { cautionsOf, warningsOf } from './words.ts'

/** Random starts of the exchange for the number of drops that is wanted, and for the numbers beside it. */
const STARTS = { wanted: 20, beside: 6 }
/** How many drops more than wanted the curve goes. */
const BEYOND = 4
/** Even spreads whose errors are averaged. */
const SPREADS = 9

/** Chooses. Problems of the wish and a stop are answers, not exceptions; a drop whose lives fail tells nothing, and that is said. */
export async function chooseDrops(
  wish: ChooseWish,
  run: LifeRunner,
  hooks: WorkHooks = {},
): Promise<ChoiceResult> {
  const measuring = measuringOf(wish)
  const problems = wishProblems(wish, measuring)
  if (problems.length > 0) return { ok: false, reason: 'invalid', problems }
  const found = candidatesOf(wish.vary, wish.preset, wish.most ?? USUAL.most)
  if (found.candidates.length < 2)
    return failed(`Fewer than two of these drops are permitted. ${found.why}`.trim(), 'vary')
  const unknowns = wish.unknowns.map((path) => unknownOf(path, wish))
  const learned = await learnAll(wish, unknowns, found, run, hooks)
  if (!learned) return STOPPED
  if (learned.every(({ information }) => information.every((one) => one === 0)))
    return failed(`None of these drops tells anything. ${learned[0]!.remark}`.trim(), 'life')
  const choice = await choiceOf(wish, unknowns, found, learned, hooks)
  return choice ? { ok: true, choice } : STOPPED
}

const STOPPED: ChoiceResult = {
  ok: false,
  reason: 'stopped',
  problems: [{ where: 'choose', message: 'Stopped before all drops were known.' }],
}

const failed = (message: string, where: string): ChoiceResult => ({
  ok: false,
  reason: 'failed',
  problems: [{ where, message }],
})

/** What all drops tell at all draws, draw after draw; null when stopped. */
async function learnAll(
  wish: ChooseWish,
  unknowns: readonly Unknown[],
  { candidates }: Candidates,
  run: LifeRunner,
  hooks: WorkHooks,
): Promise<Learned[] | null> {
  const measuring = measuringOf(wish)
  const cancelled = () => hooks.cancelled?.() ?? false
  const asked: Asked[] = drawsOf(unknowns, wish.draws ?? USUAL.draws).flatMap((values) =>
    candidates.map((candidate) => ({ preset: wish.preset, candidate, unknowns, values, measuring })),
  )
  const foresight = new Foresight(run, cancelled)
  const begin = (one: Asked) => {
    for (const preset of firstLives(one)) foresight.begin(preset)
  }
  const each = livesEach(unknowns.length, measuring)
  const learned: Learned[] = []
  for (const one of foresight.over(asked, begin)) {
    if (learned.length > 0) await hooks.pause?.()
    const told = cancelled()
      ? null
      : await learnedOf(
          one,
          (preset, _, level) => foresight.life(preset, level),
          cancelled,
          learned.length < candidates.length ? undefined : learned[learned.length % candidates.length]!.finer,
        )
    if (!told) {
      foresight.drop()
      return null
    }
    learned.push(told)
    hooks.progress?.(learned.length * each, asked.length * each)
  }
  return learned
}

/** The problem of the design: relative changes of the unknowns, what is known of them beforehand. */
function designProblem(
  wish: ChooseWish,
  unknowns: readonly Unknown[],
  candidates: number,
  learned: readonly Learned[],
): DesignProblem {
  const k = unknowns.length
  const information = new Float64Array(learned.length * k * k)
  learned.forEach((one, i) => {
    information.set(one.information, i * k * k)
  })
  const prior = new Float64Array(k * k)
  unknowns.forEach(({ value, sigma }, j) => {
    prior[j * k + j] = (value / sigma) ** 2
  })
  const draws = learned.length / candidates
  return { candidates, unknowns: k, draws, information, prior, criterion: wish.optimal ?? USUAL.optimal }
}

/** The choice; null when stopped. */
async function choiceOf(
  wish: ChooseWish,
  unknowns: Unknown[],
  found: Candidates,
  learned: readonly Learned[],
  hooks: WorkHooks,
): Promise<Choice | null> {
  const { candidates, combinations, forbidden } = found
  const { vary, drops, seed = USUAL.seed } = wish
  const problem = designProblem(wish, unknowns, candidates.length, learned)
  const evenErrors = (n: number) => {
    const all = Array.from({ length: SPREADS }, (_, s) =>
      middleErrors(problem, evenSpread(vary, candidates, n, seed + s)),
    )
    return unknowns.map((_, j) => geometricMean(all.map((errors) => errors[j]!)))
  }
  const curve: AtCount[] = []
  let chosen: number[] = []
  let before: number[] = []
  for (let n = 1; n <= drops + BEYOND; n++) {
    await hooks.pause?.()
    if (hooks.cancelled?.()) return null
    // The best set of one drop less, with each kind of drop once more, is a good start.
    const given = n > 1 ? [[...before, before[0]!]] : []
    const starts = n === drops ? STARTS.wanted : STARTS.beside
    before = bestDesign(problem, n, starts, seed + n, given).chosen
    if (n === drops) chosen = before
    curve.push({ drops: n, chosen: middleErrors(problem, before), even: evenErrors(n) })
  }
  const seen: Seen[] = candidates.map((candidate, c) => ({
    ...candidate,
    ...seenAs(learned, candidates.length, c),
  }))
  const known = {
    unknowns,
    vary,
    measuring: measuringOf(wish),
    optimal: problem.criterion,
    seed,
    draws: problem.draws,
    seen,
    combinations,
    forbidden,
    drops: counted(chosen),
    errors: errorsOf(problem, chosen),
    correlation: correlationOf(problem, chosen),
    even: { drops: counted(evenSpread(vary, candidates, drops, seed)), errors: evenErrors(drops) },
    curve,
    lives: learned.length * livesEach(unknowns.length, measuringOf(wish)),
  }
  return { ...known, warnings: warningsOf(known), notes: cautionsOf(wish, known, found.why) }
}

/** What becomes of a drop in the middle, and why it tells nothing somewhere. */
function seenAs(learned: readonly Learned[], candidates: number, c: number) {
  const own = learned.filter((_, i) => i % candidates === c)
  return { outcome: own[0]!.outcome, remark: own.find(({ remark }) => remark !== '')?.remark ?? '' }
}
