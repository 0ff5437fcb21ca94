/**
 * The numbers and words of the steps, from a preset through its life to what is told: each is worked out here once more from the
 * recorded fields, by definitions only (areas of rings, means, balance of volume). What is two words for two things must not be swapped.
 */
import { describe, expect, it } from 'vitest'
import { faceSpeed } from '../../src/life/budget.ts'
import { type Leaf, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life } from '../../src/life/types.ts'
import { judge } from '../../src/page/explain/judge.ts'
import { placeOf } from '../../src/page/explain/place.ts'
import { storyOf } from '../../src/page/explain/story.ts'
import type { ChoiceQuestion, CurveQuestion, NumberQuestion, Step } from '../../src/page/explain/types.ts'
import { firstPreset, shippedPresets } from '../../src/page/presets.ts'
import { expectClose } from '../matchers.ts'

function lifeOf(changes: [string, Leaf][], preset = firstPreset()): Life {
  const made = setKeys(preset, [['model.accuracy', 'quick'], ...changes])
  if (!made.ok) throw new Error(JSON.stringify(made))
  const result = runLifeSync(made.preset)
  if (!result.ok) throw new Error(JSON.stringify(result.problems))
  return result.life
}
const lives: [string, Life][] = [
  ['the first drop', lifeOf([])],
  ['still air', lifeOf([['air.mode', 'still']])],
  ['castor oil', lifeOf([['bath.liquid', 'castor-oil']])],
  ['known for a second', lifeOf([['model.horizon_s', 1]])],
  ['a narrow dish', lifeOf([['bath.dishRadius_mm', 12]])],
  [
    'slow oil, cut early',
    lifeOf([
      ['bath.viscosity_mPas', 5000],
      ['drop.alcoholMassFraction', 0.9],
      ['model.horizon_s', 3],
    ]),
  ],
  ['no break-up', lifeOf([['ring.breakUp', false]])],
  ['the reference case', lifeOf([], shippedPresets.find(({ drop }) => drop.alcohol === 'reference')!)],
]

/** All numbers of a text, signs included; thousands are not parted in these texts. */
const numbersIn = (text: string): number[] =>
  [...text.matchAll(/[−+]?\d+(?:\.\d+)?/g)].map(([one]) => Number(one.replace('−', '-')))
/** The first number in a text with its unit of length, m. */
function lengthIn(text: string): number {
  const [, value, unit] = /([\d.]+) (mm|µm|nm)/.exec(text)!
  return Number(value) * { mm: 1e-3, µm: 1e-6, nm: 1e-9 }[unit as 'mm' | 'µm' | 'nm']
}
/** What is shown has two digits. */
const two = { rtol: 0.051, atol: 1e-12 }

describe.each(lives)('what the steps tell of %s', (_name, life) => {
  const { frames, series, facts: given, summary } = life
  const { steps } = storyOf(life)
  const step = (id: string): Step | undefined => steps.find((one) => one.id === id)
  const rowOf = ({ time }: Step): number => frames.t.indexOf(time)
  const fact = ({ facts }: Step, name: string): string => facts.find((one) => one.name === name)!.value
  /** A field of the cells at r/R, between the cells' middles. */
  const cellAt = (field: Float64Array, row: number, s: number): number => {
    const middle = (i: number) => 0.5 * (frames.sFaces[i]! + frames.sFaces[i + 1]!)
    let i = 0
    while (i < frames.inner - 2 && middle(i + 1) < s) i++
    const x = Math.min(1, Math.max(0, (s - middle(i)) / (middle(i + 1) - middle(i))))
    const at = row * frames.inner + i
    return field[at]! + x * (field[at + 1]! - field[at]!)
  }
  const speedAt = (row: number, s: number): number => {
    const f = frames.sFaces.findIndex((face) => face >= s)
    const [a, b] = [frames.sFaces[f - 1]!, frames.sFaces[f]!]
    const [u, v] = [faceSpeed(frames, row, f - 1), faceSpeed(frames, row, f)]
    return u + ((s - a) / (b - a)) * (v - u)
  }

  it('speak of kept moments, at places that are theirs', () => {
    for (const one of steps) expect(rowOf(one), one.id).toBeGreaterThanOrEqual(0)
    for (const id of ['film', 'alcohol', 'tension']) {
      const one = step(id)
      if (one) expect(one.radius / frames.R[rowOf(one)]!).toBeCloseTo(0.9, 9)
    }
    const rim = step('rim')
    if (rim) {
      expect(rim.radius).toBe(series.ringRadius[rowOf(rim)])
      expect(rim.radius).toBeLessThan(frames.R[rowOf(rim)]!)
    }
    const colours = Object.fromEntries(steps.map(({ id, colourBy }) => [id, colourBy]))
    expect(colours).toMatchObject({
      pull: 'thickness',
      ...(step('alcohol') ? { alcohol: 'alcohol' } : {}),
      ...(step('tension') ? { tension: 'tension' } : {}),
      ...(step('widest') ? { widest: 'speed' } : {}),
    })
  })

  it('the pull is what oil against air has over the upper and the lower face', () => {
    const pull = step('pull')!
    const values = ['Oil against air', 'Upper face', 'Lower face'].map(
      (name) => numbersIn(fact(pull, name))[0]!,
    )
    const [oil, upper, lower] = values as [number, number, number]
    expectClose(oil, 1e3 * given.gammaO, { rtol: 0.006 })
    expectClose(-upper, 1e3 * given.gammaA0, { rtol: 0.006 })
    expectClose(-lower, 1e3 * given.gammaI0, { rtol: 0.006 })
    const { question } = pull
    const said = question.kind === 'choice' ? question.options.find(({ hint }) => hint)!.hint : question.text
    // "31.6 − 24.9 − 5.43 mN/m": oil, upper, lower.
    const told = /([\d.]+) − ([\d.]+) − ([\d.]+) mN/.exec(said)!.slice(1).map(Number)
    expect(told).toEqual([oil, -upper, -lower])
    expectClose(numbersIn(pull.answer)[0]!, Math.abs(oil + upper + lower), { atol: 0.15 })
    expect(pull.answer).toMatch(oil + upper + lower > 0 ? /outward/ : /inward/)
  })

  it('the film has its thickness and its speed, the edge has its own', () => {
    const film = step('film')
    if (!film) return
    const row = rowOf(film)
    const h = cellAt(frames.h, row, 0.9)
    expectClose(lengthIn(film.answer), h, two)
    expectClose(film.curve.mark!.y, 1e6 * h, two)
    expectClose(numbersIn(film.answer.split(', ')[1]!)[0]!, frames.h[row * frames.inner]! / h, two)
    const told = (name: string) =>
      /rest/.test(fact(film, name)) ? 0 : 1e-3 * numbersIn(fact(film, name))[0]!
    expectClose(told('Film there'), speedAt(row, 0.9), two)
    expectClose(told('Edge'), frames.U[row]!, { rtol: 0.051, atol: 1e-3 * speedAt(row, 0.9) })
    const { options, right } = film.question as ChoiceQuestion
    for (const [i, { text }] of options.entries()) {
      if (i === right) continue
      const thicker = lengthIn(text) > lengthIn(options[right]!.text)
      expect(judge(film.question, i).line).toMatch(thicker ? /^Thinner/ : /^Thicker/)
    }
  })

  it('the alcohol runs low in the outer film, and what has gone has gone where it is said', () => {
    const alcohol = step('alcohol')
    if (!alcohol) return
    const row = rowOf(alcohol)
    const [middle, outer] = ['Middle', 'Outer film'].map((name) => numbersIn(fact(alcohol, name))[0]!)
    expectClose(middle!, 100 * frames.phi[row * frames.inner]!, two)
    expectClose(outer!, 100 * cellAt(frames.phi, row, 0.9), two)
    const times = frames.h[row * frames.inner]! / cellAt(frames.h, row, 0.9)
    expectClose(numbersIn(alcohol.answer)[0]!, times, two)
    const part = (of: Float64Array) => (100 * of[row]!) / series.alcohol[0]!
    const air = /([\d.]+) % of the alcohol has gone into the air/.exec(alcohol.text)?.[1] ?? '0'
    const oil = /([\d.]+) %(?: of the alcohol has gone)? into the oil/.exec(alcohol.text)?.[1] ?? '0'
    expectClose(Number(air), part(series.evaporatedAlcohol), two)
    expectClose(Number(oil), part(series.inOil), two)
  })

  it('the tension is higher where there is less alcohol, and draws with both faces', () => {
    const tension = step('tension')
    if (!tension) return
    const row = rowOf(tension)
    const [middle, outer] = ['Middle', 'Outer film'].map((name) => numbersIn(fact(tension, name))[0]!)
    const far = cellAt(frames.sigma, row, 0.9)
    expectClose(middle!, 1e3 * frames.sigma[row * frames.inner]!, { rtol: 0.006 })
    expectClose(outer!, 1e3 * far, { rtol: 0.006 })
    const more = far > frames.sigma[row * frames.inner]!
    expect(tension.text).toMatch(more ? /^Less alcohol, more tension/ : /^The film is too thin/)
    // The slope of the tension along the radius is the pull of both faces together: dσ/dr.
    const near = (s: number) => cellAt(frames.sigma, row, s)
    const slope = (near(0.91) - near(0.89)) / (0.02 * frames.R[row]!)
    const told = numbersIn(/with ([\d.]+) Pa/.exec(tension.answer)![0])[0]!
    expectClose(told, Math.abs(slope), { rtol: 0.35 })
    expect(tension.answer.startsWith(slope > 0 ? 'Outward' : 'Inward')).toBe(true)
  })

  it('at the largest radius: the pull that was and the pull that is left, and whoever draws wrongly is led the right way', () => {
    const widest = step('widest')
    if (!widest) return
    const left = /Of its pull, (−?[\d.]+) mN\/m, (−?[\d.]+) are left/.exec(widest.text)
    if (left) {
      expectClose(Number(left[1]), 1e3 * given.S0, two)
      expect(Number(left[2])).toBeLessThan(Number(left[1]))
    }
    const { curve } = widest.question as CurveQuestion
    const top = curve.x[curve.y.indexOf(Math.max(...curve.y))]!
    const at = (x: number) => ({ x: [0, x, 1], y: [0, 1, 0] })
    expect(numbersIn(widest.answer).some((one) => Math.abs(one - 100 * top) <= 0.5) || top > 0.995).toBe(true)
    expect(judge(widest.question, at(top - 0.13)).line).toMatch(/goes on gaining speed beyond/)
    expect(judge(widest.question, at(top - 0.11)).right).toBe(true)
    if (top + 0.13 < 1)
      expect(judge(widest.question, at(top + 0.13)).line).toMatch(/there the liquid already slows down/)
  })

  it('the rim is higher than the thin spot behind it', () => {
    const rim = step('rim')
    if (!rim) return
    const row = rowOf(rim)
    expectClose(lengthIn(fact(rim, 'Rim')), series.ringHeight[row]!, two)
    expectClose(lengthIn(fact(rim, 'Thin spot behind')), series.thin[row]!, two)
    expectClose(lengthIn(fact(rim, 'Rim')), 1e-6 * rim.curve.mark!.y, two)
    expect(/early in this life/.test(rim.text)).toBe(rim.time < 0.5 * summary.maxRadiusTime)
  })

  it('the beads stand round the whole edge', () => {
    const breaks = step('breaks')
    if (!breaks || !/apart/.test(breaks.answer)) return
    const [count, spacing] = numbersIn(breaks.answer)
    expectClose(count! * spacing!, 2e3 * Math.PI * frames.R[rowOf(breaks)]!, { rtol: 0.1 })
    expectClose(count!, series.beads[rowOf(breaks)]!, two)
  })

  it('the arrows of the budget carry what passes the sides of the zone and leaves it, and point where it goes', () => {
    const budget = step('budget')
    const place = placeOf(life)
    expect(budget === undefined).toBe(place === null)
    if (!budget || !place) return
    const { row } = place.look
    const face = (s: number) => frames.sFaces.indexOf(s)
    const [a, b] = [face(place.budget.from), face(place.budget.to)]
    expect(a).toBeLessThan(b)
    const R = frames.R[row]!
    /** Volume per time out of the zone's cells, nL/s: the loss times the area of each ring. */
    const lost = (field: Float64Array) => {
      let sum = 0
      for (let i = a; i < b; i++)
        sum +=
          Math.PI *
          (frames.sFaces[i + 1]! ** 2 - frames.sFaces[i]! ** 2) *
          R *
          R *
          field[row * frames.inner + i]!
      return 1e12 * sum
    }
    // Recorded is r h w per radian.
    const through = (f: number) => 1e12 * 2 * Math.PI * frames.flux[row * (frames.inner + 1) + f]!
    const wanted = { in: through(a), out: through(b), vapour: lost(frames.vapour), oil: lost(frames.uptake) }
    const { arrows, thickness } = budget.picture!
    for (const { key, label, size, shown } of arrows) {
      expectClose(size, wanted[key], { rtol: 1e-9 }, key)
      expectClose(numbersIn(shown)[0]!, size, two, key)
      expect(label).toBe({ in: 'flows in', out: 'flows out', vapour: 'vapour', oil: 'into the oil' }[key])
    }
    for (const [key, size] of Object.entries(wanted))
      expect([key, arrows.some((one) => one.key === key)]).toEqual([key, size !== 0])
    // It leads from thick to thin.
    expect(thickness[0]).toBeGreaterThan(thickness[1])
    // The rows beside the picture are the same per area, µm/s.
    const area = Math.PI * (frames.sFaces[b]! ** 2 - frames.sFaces[a]! ** 2) * R * R
    const rows = { in: ['In', 1], out: ['Out', -1], vapour: ['Vapour', -1], oil: ['Oil', -1] } as const
    for (const { key, size } of arrows) {
      const [name, sign] = rows[key]
      const told = budget.facts.find((one) => one.name === name)?.value ?? '0'
      const finest = 10 ** -(told.split('.')[1]?.length ?? 0)
      expectClose(
        numbersIn(told)[0]!,
        (sign * 1e-6 * size) / area,
        { atol: 0.51 * Math.max(finest, 0.01) },
        name,
      )
    }
    const zone = budget.facts.find(({ name }) => /zone/.test(name))
    if (zone) expect(zone.name).toBe(frames.U[row]! > 0 ? 'The zone grows' : 'The zone shrinks')
    expect(budget.radius / R).toBeCloseTo(0.5 * (frames.sFaces[a]! + frames.sFaces[b]!), 9)
    expect(numbersIn(budget.question.text.replace(/−/g, '-')).slice(0, 2)).toEqual([
      Math.round(100 * frames.sFaces[a]!),
      Math.round(100 * frames.sFaces[b]!),
    ])
    const speeds = /leaves faster outward \(([\d.]+) mm\/s\) than it comes from the middle \(([\d.]+) mm\/s\)/
    const fast = speeds.exec(budget.answer)
    if (fast) {
      expectClose(Number(fast[1]), 1e3 * faceSpeed(frames, row, b), two)
      expectClose(Number(fast[2]), 1e3 * faceSpeed(frames, row, a), two)
    }
    const [all, stretched] = /thins by (−?[\d.]+) µm\/s, by (−?[\d.]+) through/
      .exec(budget.text)!
      .slice(1)
      .map(Number)
    const losses = 1e-6 * ((lost(frames.vapour) + lost(frames.uptake)) / area)
    expectClose(all! - stretched!, losses, { atol: 0.06 * all! })
  })

  it('the liquid of the thinnest place: where it was, how thick, how long ago, and what thinned it', () => {
    const why = step('why')
    if (!why) return
    const { way, look, s, thickness } = placeOf(life)!
    const [then, now] = [fact(why, 'Then'), fact(why, 'Now')]
    expectClose(lengthIn(now), thickness, two)
    expectClose(lengthIn(then) / lengthIn(now), way.start.thickness / thickness, { rtol: 0.1 })
    const percent = (text: string) => Number(/(\d+) % of the radius/.exec(text)![1])
    expect([percent(then), percent(now)]).toEqual([Math.round(100 * way.start.place), Math.round(100 * s)])
    expect(percent(then)).toBeLessThan(percent(now))
    const asked = /thick ([\d.]+) s ago/.exec(why.question.text)
    if (asked) expectClose(Number(asked[1]), look.time - way.start.time, { rtol: 0.051, atol: 0.051 })
    const [loss, stretching] = numbersIn(why.answer)
    expect(loss! + stretching!).toBeGreaterThan(98)
    expect(loss! + stretching!).toBeLessThan(102)
    expectClose(stretching!, (100 * way.stretched) / Math.log(way.start.thickness / way.end.thickness), {
      atol: 3,
    })
    const { accept, right } = why.question as NumberQuestion
    expect(Math.round(right)).toBe(loss)
    expect(accept).toEqual([Math.max(0, right - 10), Math.min(100, right + 10)])
  })

  it('the end has the radius and the volume of its moment', () => {
    const end = step('end')!
    const row = rowOf(end)
    expectClose(lengthIn(fact(end, 'Radius then')), frames.R[row]!, { rtol: 0.006 })
    const left = (100 * series.volume[row]!) / series.volume[0]!
    expect(numbersIn(fact(end, 'Left of its volume'))[0]!).toBe(Number(left.toPrecision(2)))
  })
})

it('some life still has a pull at its largest radius, some rim breaks, some zone is told', () => {
  const told = lives
    .flatMap(([, life]) => storyOf(life).steps.map(({ answer, text }) => `${answer} ${text}`))
    .join(' ')
  for (const so of [/Of its pull, .* are left/, /mm apart/, /leaves faster outward/, /has gone into the air/])
    expect(told).toMatch(so)
})
