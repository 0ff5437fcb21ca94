/** The command `choose`: which drops to put down. */
import type { LifeRunner } from '../life/lives.ts'
import { chooseDrops } from '../plan/choose/chooseDrops.ts'
import { costOf } from '../plan/choose/cost.ts'
import { planTable } from '../plan/choose/runPlan.ts'
import type { ChooseWish } from '../plan/choose/types.ts'
import { tableCsv } from '../plan/table.ts'
import { type ChooseCommand, readChoose } from './chooseArgs.ts'
import { chooseObject, chooseText, costText } from './chooseText.ts'
import { answer, demand, mayWrite, type Output, TERMINAL, tell, WrongInput, write } from './command.ts'
import { loadPreset } from './load.ts'
import { withThreads } from './threads.ts'

/** Between two words about the progress, ms. */
const EVERY = 10_000

const messagesOf = (problems: readonly { message: string }[]): string[] =>
  problems.map(({ message }) => message)

/** Tells now and then how far the work is and about how long it takes. */
function progressTo(to: Output, now: () => number) {
  const began = now()
  let told = began
  return (done: number, total: number): void => {
    if (now() - told < EVERY || done === total) return
    told = now()
    const left = ((told - began) / done) * (total - done)
    to.err(`${done} of ${total} lives, about ${Math.ceil(left / 1000)} s left\n`)
  }
}

async function work(asked: ChooseCommand, to: Output, run: LifeRunner): Promise<number> {
  const { preset } = demand(loadPreset(asked.preset, asked.changes, asked.liquids))
  mayWrite(asked.csv, [asked.preset, ...asked.liquids])
  const wish: ChooseWish = { ...asked.wish, preset }
  const priced = costOf(wish)
  if (!priced.ok) throw new WrongInput(messagesOf(priced.problems))
  if (asked.costOnly) {
    to.out(asked.json ? `${JSON.stringify(priced.cost)}\n` : costText(priced.cost))
    return 0
  }
  to.err(costText(priced.cost))
  const made = await chooseDrops(wish, run, { progress: progressTo(to, () => performance.now()) })
  if (!made.ok) {
    tell(to, messagesOf(made.problems))
    return made.reason === 'invalid' ? 2 : 1
  }
  write(asked.csv, () => tableCsv(planTable(made.choice, preset)))
  to.out(
    asked.json ? `${JSON.stringify(chooseObject(made.choice, preset))}\n` : chooseText(made.choice, preset),
  )
  return 0
}

/** Runs the command; gives the exit code (0 done, 1 no drop tells anything, 2 wrong input). */
export function main(argv: string[], to: Output = TERMINAL, run?: LifeRunner): Promise<number> {
  return answer(
    to,
    () => readChoose(argv),
    (asked) => withThreads(asked.workers, run, (lives) => work(asked, to, lives)),
  )
}
