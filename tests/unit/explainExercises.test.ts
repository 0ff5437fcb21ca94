/** Exercises: the right answer is accepted, a near miss is refused with what is missing, and corners are told. */
import { describe, expect, it } from 'vitest'
import { defaultPreset, type Leaf, presetToLink, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, Preset } from '../../src/life/types.ts'
import { EXERCISES, judged, judgedAtOnce } from '../../src/page/explain/exercises/list.ts'
import { changed, spreading } from '../../src/page/explain/exercises/tools.ts'
import type { Answered, Exercise, Verdict } from '../../src/page/explain/exercises/types.ts'
import { thresholdOf } from '../../src/plan/threshold.ts'

const presetWith = (...changes: [string, Leaf][]): Preset => {
  const made = setKeys(defaultPreset(), [['model.accuracy', 'quick'], ...changes])
  if (!made.ok) throw new Error(made.problems.map(({ message }) => message).join(' '))
  return made.preset
}
const usual = presetWith(['drop.alcoholMassFraction', 0.65])
const lens = presetWith(['drop.alcoholMassFraction', 0.2])
const unwetted = presetWith(['drop.alcoholMassFraction', 0.6], ['bath.liquid', 'silicone-oil-50'])
const closed = presetWith(
  ['drop.alcohol', 'reference'],
  ['bath.liquid', 'reference'],
  ['air.mode', 'constant'],
  ['drop.alcoholMassFraction', 0.6],
)

const kept = new Map<string, Life>()
function lifeOf(preset: Preset): Life {
  const of = presetToLink(preset)
  const known = kept.get(of)
  if (known) return known
  const result = runLifeSync(preset)
  if (!result.ok) throw new Error('no life')
  kept.set(of, result.life)
  return result.life
}

const exercise = (id: string): Exercise => EXERCISES.find((one) => one.id === id)!

/** The verdict about an answer through the real path: begun from `own`, lives computed as the exercise asks. */
function verdict(
  one: Exercise,
  own: Preset,
  answer: Partial<Answered> & { change?: [string, Leaf | null][] } = {},
): Verdict {
  const start = one.start(own)
  const drop = answer.drop ?? changed(start, ...(answer.change ?? []))
  const answered = { start, seed: 0, number: Number.NaN, choice: '', ...answer, drop }
  const lives = Object.fromEntries(
    Object.entries(one.lives(answered)).map(([name, preset]) => [name, lifeOf(preset)]),
  )
  return judged(one, answered, lives)
}
const strengthOf = (value: number): [string, Leaf][] => [['drop.alcoholMassFraction', value]]

describe('every exercise', () => {
  it('has a name of its own, a task, two or three hints', () => {
    expect(EXERCISES.length).toBeGreaterThanOrEqual(8)
    expect(new Set(EXERCISES.map(({ id }) => id)).size).toBe(EXERCISES.length)
    for (const one of EXERCISES) {
      const task = one.task(one.start(usual))
      expect(task.split(/(?<=[.?]) /).length).toBeLessThanOrEqual(3)
      expect([2, 3]).toContain(one.hints.length)
    }
  })
  for (const [name, own] of Object.entries({ usual, lens, closed })) {
    it(`is not done by beginning it, and says what is missing: ${name}`, { timeout: 120_000 }, () => {
      for (const one of EXERCISES) {
        const { done, say } = verdict(one, own)
        expect([one.id, done]).toEqual([one.id, false])
        expect(say).toMatch(/\.$|\?$/)
        expect(say).not.toMatch(/NaN|undefined|Infinity|wrong/i)
      }
    })
  }
  it('says so where the oil makes it impossible, but for the one that chooses the oil', () => {
    for (const one of EXERCISES) {
      const start = one.start(unwetted)
      const said = one.cannot(start)
      if (one.id === 'slow-oil') expect(said).toBe('')
      else expect(said).toMatch(/^No mixture of ethanol and water spreads on .* Choose another oil/)
    }
    expect(exercise('slow-oil').cannot(exercise('slow-oil').start(closed))).toMatch(/only come as a pair/)
  })
  it('that is answered by the drop names what else was changed', () => {
    for (const one of EXERCISES.filter(({ answer }) => answer.kind === 'drop')) {
      const start = one.start(usual)
      const drop = changed(start, ['model.filmCutoff_nm', 20])
      expect(judgedAtOnce(one, { start, drop, seed: 0, number: Number.NaN, choice: '' })?.say).toMatch(
        /you changed: Coverage cut-off \(50 nm → 20 nm\)/,
      )
    }
  })
})

describe('the threshold', () => {
  const one = exercise('threshold')
  for (const alcohol of ['ethanol', '2-propanol', 'methanol', '1-propanol']) {
    it(`is found to one per cent: ${alcohol}`, () => {
      const own = changed(usual, ['drop.alcohol', alcohol])
      const critical = thresholdOf(own).massFraction
      expect(verdict(one, own, { change: strengthOf(critical + 0.005) })).toMatchObject({ done: true })
      const high = verdict(one, own, { change: strengthOf(critical + 0.02) })
      expect([high.done, high.say]).toEqual([
        false,
        expect.stringMatching(/S is \+[\d.]+ mN\/m.*weaker too|Go lower/),
      ])
      const low = verdict(one, own, { change: strengthOf(critical - 0.02) })
      expect([low.done, low.say]).toEqual([
        false,
        expect.stringMatching(/S is −[\d.]+ mN\/m, and must be above 0.*stronger/),
      ])
    })
  }
})

describe('a radius', () => {
  const one = exercise('hit-radius')
  it('is hit within two per cent', { timeout: 60_000 }, () => {
    const wanted = 0.8 * lifeOf(one.start(usual)).summary.maxRadius
    // Found by bisection with the engine itself.
    let [low, high] = [0.5, 0.65]
    for (let i = 0; i < 9; i++) {
      const middle = (low + high) / 2
      const { maxRadius } = lifeOf(changed(one.start(usual), ['drop.alcoholMassFraction', middle])).summary
      if (maxRadius < wanted) low = middle
      else high = middle
    }
    expect(verdict(one, usual, { change: strengthOf(high) })).toMatchObject({ done: true })
    const far = verdict(one, usual, { change: strengthOf(high + 0.02) })
    expect([far.done, far.say]).toEqual([false, expect.stringMatching(/: [\d.]+ % too far\.$/)])
    const near = verdict(one, usual, { change: strengthOf(high - 0.02) })
    expect([near.done, near.say]).toEqual([false, expect.stringMatching(/: [\d.]+ % too little\.$/)])
  })
})

describe('twice the volume', () => {
  const one = exercise('twice-the-volume')
  const start = one.start(usual)
  const twice = 1e3 * lifeOf(changed(start, ['drop.volume_uL', 20])).summary.maxRadius
  it('is judged by the life, within three per cent, and compared with rules', () => {
    const right = verdict(one, usual, { number: 1.02 * twice })
    expect([right.done, right.say]).toEqual([true, expect.stringMatching(/here R goes as V\^0\.\d+/)])
    const exponent = Number(/V\^(0\.\d+)\./.exec(right.say)![1])
    const single = 1e3 * lifeOf(start).summary.maxRadius
    expect(exponent).toBeCloseTo(Math.log2(twice / single), 2)
    const miss = verdict(one, usual, { number: 1.05 * twice })
    expect([miss.done, miss.say]).toEqual([false, expect.stringMatching(/mm is 5\.0 % too much/)])
    expect(verdict(one, usual, { number: 0.95 * twice }).say).toMatch(/mm is 5\.0 % too little/)
    expect(verdict(one, usual, { number: Number.NaN }).say).toMatch(/Enter a radius/)
    expect(verdict(one, usual, { number: -3 }).say).toMatch(/above 0/)
  })
  it('is no question where the wall decides', () => {
    const narrow = changed(usual, ['bath.dishRadius_mm', 24])
    expect(verdict(one, narrow, { number: 24 })).toMatchObject({
      done: false,
      say: expect.stringMatching(/reaches the wall/),
    })
  })
})

describe('choices', () => {
  it('of two curves the deeper is the one that it is, in either order', () => {
    const one = exercise('two-depths')
    for (const seed of [0, 1]) {
      const start = one.start(usual)
      const [A, B] = one.curves!({ start, seed })
      const deep = A.bath.depth_mm > B.bath.depth_mm ? 'A' : 'B'
      expect(Math.max(A.bath.depth_mm, B.bath.depth_mm)).toBe(2 * Math.min(A.bath.depth_mm, B.bath.depth_mm))
      expect(verdict(one, usual, { seed, choice: deep })).toMatchObject({ done: true })
      const other = verdict(one, usual, { seed, choice: deep === 'A' ? 'B' : 'A' })
      expect([other.done, other.say]).toEqual([false, expect.stringMatching(/On 2 mm .* on 4 mm /)])
    }
    expect(verdict(one, usual).say).toBe('Choose A or B first.')
  })
  it('of the mechanisms exactly those are right that no other beats', { timeout: 60_000 }, () => {
    const one = exercise('which-mechanism')
    const start = one.start(usual)
    if (one.answer.kind !== 'choice') throw new Error('no choice')
    const options = one.answer.options(start)
    expect(options.length).toBe(7)
    const radius = (id: string) => lifeOf(changed(start, [`mechanisms.${id}`, false])).summary.maxRadius
    const best = Math.max(...options.map(([id]) => radius(id)))
    for (const [id] of options) {
      const { done, say } = verdict(one, usual, { choice: id })
      expect([id, done]).toEqual([id, radius(id) >= 0.99 * best])
      if (!done) expect(say).toMatch(/Another does more: \+[\d.]+ mm\.$/)
    }
  })
})

describe('drops that must become something', () => {
  it('twice the life: slower oil does it, a little less does not', () => {
    const one = exercise('twice-as-long')
    expect(verdict(one, usual, { change: [['bath.liquid', 'castor-oil']] })).toMatchObject({ done: true })
    const cold = verdict(one, usual, { change: [['air.temperature_C', 10]] })
    expect([cold.done, cold.say]).toEqual([
      false,
      expect.stringMatching(/times as long: [\d.]+ s are missing\.$/),
    ])
    expect(verdict(one, usual, { change: [['drop.volume_uL', 40]] }).say).toMatch(/Volume \(10 µL → 40 µL\)/)
    expect(verdict(one, usual, { change: strengthOf(0.3) }).say).toMatch(/A lens does not count/)
    expect(verdict(one, usual, { change: [['mechanisms.evaporation', false]] }).say).toMatch(
      /you changed: Evaporation/,
    )
  })
  it('no rim: only where the alcohol stays even', () => {
    const one = exercise('no-rim')
    const both: [string, Leaf][] = [
      ['mechanisms.evaporation', false],
      ['mechanisms.uptake', false],
    ]
    expect(verdict(one, usual, { change: both })).toMatchObject({ done: true })
    for (const half of both) {
      const { done, say } = verdict(one, usual, { change: [half] })
      expect([done, say]).toEqual([
        false,
        expect.stringMatching(/It has a rim, [\d.]+ µm high over a film of /),
      ])
    }
    expect(verdict(one, usual, { change: strengthOf(0.3) }).say).toMatch(/stays a lens/)
  })
  it('the widest drop: within a tenth below the wall', { timeout: 60_000 }, () => {
    const one = exercise('widest-drop')
    let [low, high] = [5, 100]
    for (let i = 0; i < 8; i++) {
      const middle = Math.sqrt(low * high)
      const life = lifeOf(changed(one.start(usual), ['drop.volume_uL', middle]))
      if (life.summary.outcome === 'reaches-wall') high = middle
      else low = middle
    }
    const of = (volume: number) => verdict(one, usual, { change: [['drop.volume_uL', volume]] })
    expect(of(low)).toMatchObject({ done: true })
    expect([of(0.8 * low).done, of(0.8 * low).say]).toEqual([
      false,
      expect.stringMatching(/off the wall, and so does/),
    ])
    expect([of(1.2 * low).done, of(1.2 * low).say]).toEqual([
      false,
      expect.stringMatching(/touches the wall after .* mm\/s/),
    ])
  })
  it('the weakest that sheds: what is two per cent weaker does not', { timeout: 60_000 }, () => {
    const one = exercise('least-shedding')
    const sheds = (strength: number) =>
      lifeOf(changed(one.start(usual), ['drop.alcoholMassFraction', strength])).summary.outcome === 'sheds'
    const least = Array.from({ length: 15 }, (_, i) => (50 + i) / 100).find(sheds)!
    expect(verdict(one, usual, { change: strengthOf(least) })).toMatchObject({ done: true })
    const more = verdict(one, usual, { change: strengthOf(least + 0.05) })
    expect([more.done, more.say]).toEqual([false, expect.stringMatching(/two per cent less sheds too/)])
    const less = verdict(one, usual, { change: strengthOf(least - 0.04) })
    expect([less.done, less.say]).toEqual([
      false,
      expect.stringMatching(/It sheds nothing: the waves come to [\d.]+/),
    ])
  })
  it('no shedding on an oil so thick is said to be impossible there', () => {
    const one = exercise('least-shedding')
    const thick = changed(usual, ['bath.viscosity_mPas', 5000], ['bath.depth_mm', 2])
    expect(verdict(one, thick).say).toMatch(/not even a drop of 75 or of 90 % sheds/)
  })
  for (const alcohol of ['ethanol', '2-propanol', 'methanol', '1-propanol']) {
    it(`another oil: a thick one does it, a like one does not (${alcohol})`, () => {
      const one = exercise('slow-oil')
      const own = changed(usual, ['drop.alcohol', alcohol])
      const oil = (name: string) => verdict(one, own, { change: [['bath.liquid', name]] })
      expect(oil('castor-oil')).toMatchObject({ done: true })
      const like = oil('olive-oil')
      expect([like.done, like.say]).toEqual([
        false,
        expect.stringMatching(/% as far; at most 80 % are asked for/),
      ])
      expect(oil('silicone-oil-50').done).toBe(false)
    })
  }
  it('of a weak drop begins with a stronger one, and leaves a strong one alone', () => {
    expect(presetToLink(spreading(usual))).toBe(presetToLink(usual))
    expect(lifeOf(spreading(lens)).summary.outcome).not.toBe('lens')
  })
})
