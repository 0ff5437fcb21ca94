/** Hands that the workers of the page share: how many, whom they serve, what becomes of those that end. Common practice, no source. */
import { expose, type Remote, wrap } from 'comlink'
import { describe, expect, it } from 'vitest'
import type { Alive } from '../../src/page/lives/alive.ts'
import { Hands, handsFor, type Machine } from '../../src/page/lives/hands.ts'
import type { HandWorker } from '../../workers/hand.ts'
import type { PlanWorker } from '../../workers/planMessages.ts'

const settle = () => new Promise((resolve) => setTimeout(resolve, 20))

describe('how many lives at the same time', () => {
  it.each<[Partial<Machine>, number]>([
    [{}, 7],
    [{ cores: 1 }, 1],
    [{ cores: 2 }, 1],
    [{ cores: 4 }, 3],
    [{ cores: 64 }, 8],
    [{ memory: 4 }, 2],
    [{ memory: undefined }, 7],
    [{ memory: undefined, handheld: true }, 2],
    [{ handheld: true }, 7],
    [{ cores: 2, memory: 1 }, 1],
  ])('with eight cores and 8 GB but for %j: %i', (but, most) => {
    expect(handsFor({ cores: 8, memory: 8, handheld: false, ...but })).toBe(most)
  })
})

/** Something alive whose calls are noted; `die` ends it. */
function puppet<T>(api: object) {
  const { port1, port2 } = new MessageChannel()
  expose(api, port2 as never)
  let die: (error: Error) => void = () => {}
  const death = new Promise<never>((_, reject) => {
    die = reject
  })
  death.catch(() => {})
  const watched: Promise<unknown>[] = []
  const alive: Alive<T> = {
    remote: wrap<T>(port1 as never) as Remote<T>,
    death,
    watch: <R>(answer: Promise<R>) => {
      watched.push(answer)
      return Promise.race([answer, death])
    },
    sign() {},
    end: () => port2.close(),
  }
  return { alive, watched, die: (why: string) => die(new Error(why)), close: () => port2.close() }
}

function planner() {
  const heard: string[] = []
  let grow = () => {}
  const api = {
    helped(most: number, ask: () => void) {
      heard.push(`helped ${most}`)
      grow = ask
    },
    join: (_: number, port: MessagePort) => {
      heard.push('join')
      port.close()
    },
    miss: () => void heard.push('miss'),
    leave: (_: number, reason: string) => void heard.push(`leave ${reason}`),
  }
  return { ...puppet<PlanWorker>(api), heard, grow: () => grow() }
}

function helper(ready: Promise<void> = Promise.resolve()) {
  const lent: number[] = []
  const api = {
    ready: () => ready,
    lend: (_: number, port: MessagePort, rank: number) => {
      lent.push(rank)
      port.close()
    },
    leave: () => void lent.push(-1),
  }
  return { ...puppet<HandWorker>(api), lent }
}

describe('the hands of a page', () => {
  it('are born when they are asked for, no more than there may be, and serve all that plan', async () => {
    const born = [helper(), helper(), helper()]
    let count = 0
    const hands = new Hands(3, () => born[count++]!.alive)
    const [asked, idle] = [planner(), planner()]
    hands.serve(asked.alive, 0)
    hands.serve(idle.alive, 1)
    await settle()
    expect([asked.heard, count]).toEqual([['helped 3'], 0])
    for (let i = 0; i < 4; i++) asked.grow()
    await settle()
    expect(count).toBe(2)
    expect(asked.heard).toEqual(['helped 3', 'join', 'join'])
    expect(idle.heard).toEqual(asked.heard)
    expect(born[0]!.lent.sort()).toEqual([0, 1])
    for (const one of [asked, idle, ...born]) one.close()
  })
  it('that end are told of to all, and may be replaced; those that never begin are not born for ever', async () => {
    const never = new Promise<void>(() => {})
    const born = [helper(), helper(never), helper(never), helper(never), helper()]
    let count = 0
    const hands = new Hands(2, () => born[count++]!.alive)
    const plan = planner()
    hands.serve(plan.alive, 0)
    await settle()
    for (const [i, one] of born.slice(0, 4).entries()) {
      plan.grow()
      await settle()
      expect(count).toBe(i + 1)
      one.die('gone')
      await settle()
    }
    plan.grow()
    await settle()
    expect(count).toBe(4)
    expect(plan.heard).toEqual(['helped 2', 'join', 'leave gone', 'miss', 'miss', 'miss'])
    for (const one of [plan, ...born]) one.close()
  })
  it('are watched while anything is asked of a planning worker, and let go of what ended', async () => {
    const one = helper()
    const hands = new Hands(2, () => one.alive)
    const plan = planner()
    hands.serve(plan.alive, 0)
    await settle()
    plan.grow()
    await settle()
    const before = one.watched.length
    hands.during(Promise.reject(new Error('broke off')).finally(() => {}))
    expect(one.watched.length).toBe(before + 1)
    hands.release(plan.alive)
    await settle()
    expect(one.lent).toEqual([0, -1])
    for (const it of [plan, one]) it.close()
  })
  it('are none where one life is computed after the other', async () => {
    const plan = planner()
    new Hands(1).serve(plan.alive, 0)
    await settle()
    expect(plan.heard).toEqual([])
    plan.close()
  })
})
