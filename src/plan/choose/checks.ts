/** What is wrong with a wish, all of it at once. */
import { keyOf } from '../../life/keys.ts'
import { MOST_UNKNOWNS, START_TIME } from '../../measured/fit/types.ts'
import { whyNotFitted } from '../../measured/fit/unknowns.ts'
import { combinationsOf, variedProblems } from './candidates.ts'
import { measuringProblems } from './measuring.ts'
import { isAboveZero } from './priors.ts'
import { type ChooseWish, type Measuring, MOST_DROPS, type Problem, USUAL } from './types.ts'

/** Numbers of one oil: with several oils they are several unknowns. */
const OF_ONE_OIL = [
  'bath.solubility',
  'bath.viscosity_mPas',
  'interface.water_mNperM',
  'interface.end_mNperM',
  'interface.decay',
]

const MOST_COMBINATIONS = 1e6

const problem = (where: string, message: string): Problem => ({ where, message })

function unknownProblems(wish: ChooseWish): Problem[] {
  const { unknowns, vary } = wish
  const problems: Problem[] = []
  if (unknowns.length < 1 || unknowns.length > MOST_UNKNOWNS)
    problems.push(problem('unknowns', `${unknowns.length} unknowns. Permitted: 1 to ${MOST_UNKNOWNS}.`))
  const oils = vary.find(({ key, values }) => key === 'bath.liquid' && values.length > 1)
  for (const [i, path] of unknowns.entries()) {
    const why = whyNot(path, wish)
    if (why) problems.push(problem(path, why))
    else if (unknowns.indexOf(path) !== i) problems.push(problem(path, `${path} is named twice.`))
    else if (vary.some(({ key }) => key === path))
      problems.push(problem(path, `${path} is unknown and varied at the same time. Choose one of the two.`))
    else if (oils && OF_ONE_OIL.includes(path))
      problems.push(problem(path, `${path} belongs to one oil; with several oils it is several unknowns.`))
  }
  return problems
}

function whyNot(path: string, { preset, priors = {} }: ChooseWish): string {
  if (path === START_TIME)
    return 'The contact is each drop’s own and is found from its own curve; state its error among those of the measurement.'
  const why = whyNotFitted(path, preset)
  if (why || priors[path] || isAboveZero(path, preset)) return why
  return `${path} has no value above 0 with this drop: say where it stands, as VALUE ± S.`
}

function priorProblems({ priors = {}, unknowns }: ChooseWish): Problem[] {
  return Object.entries(priors).flatMap(([path, { value, sigma }]): Problem[] => {
    if (!unknowns.includes(path))
      return [problem(path, `${path} is known ± but is no unknown of this choice.`)]
    const key = keyOf(path)
    if (key?.kind !== 'number') return []
    const unit = key.unit ? ` ${key.unit}` : ''
    if (!(value >= key.min && value <= key.max && value > 0))
      return [problem(path, `${path} is ${value}. Permitted: above 0, ${key.min} to ${key.max}${unit}.`)]
    if (sigma > 0 && Number.isFinite(sigma)) return []
    return [problem(path, `${path}: the standard uncertainty is ${sigma}. Permitted: above 0.`)]
  })
}

/** A whole number of the wish. */
function whole(name: string, value: number, min: number, max: number): Problem[] {
  if (Number.isInteger(value) && value >= min && value <= max) return []
  return [problem(name, `${name} is ${value}. Permitted: whole numbers from ${min} to ${max}.`)]
}

export function wishProblems(wish: ChooseWish, measuring: Measuring): Problem[] {
  const { vary, preset, drops, seed = USUAL.seed, draws = USUAL.draws, most = USUAL.most } = wish
  const problems = [
    ...unknownProblems(wish),
    ...priorProblems(wish),
    ...vary.flatMap((one) => variedProblems(one, preset)),
    ...whole('drops', drops, 1, MOST_DROPS),
    ...whole('draws', draws, 1, 16),
    ...whole('most', most, 2, 600),
    ...whole('seed', seed, 0, 2 ** 32 - 1),
    ...measuringProblems(measuring),
  ]
  if (vary.length === 0)
    problems.push(problem('vary', 'Nothing varies: name at least one input with its values.'))
  const again = vary.find(({ key }, i) => vary.findIndex((one) => one.key === key) !== i)
  if (again) problems.push(problem(again.key, `${again.key} is varied twice.`))
  if (problems.length > 0) return problems
  const count = combinationsOf(vary)
  if (count < 2) problems.push(problem('vary', 'There is a single drop to choose from. Give more values.'))
  if (count > MOST_COMBINATIONS)
    problems.push(problem('vary', `${count} combinations. Permitted: at most ${MOST_COMBINATIONS}.`))
  return problems
}
