/**
 * The steps of the explanation, from a preset through its life to what is asked and told. What they say is held against the
 * life itself; that a moment must be the moment spoken of, and that a wrong answer must be wrong, needs no source.
 */
import { describe, expect, it } from 'vitest'
import { setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { indexAt } from '../../src/life/sample.ts'
import type { Life, Preset } from '../../src/life/types.ts'
import { createFields, moveTo, pullsAt } from '../../src/life/view.ts'
import { speedWords } from '../../src/page/explain/explainWords.ts'
import { GLOSSARY, piecesOf } from '../../src/page/explain/glossary.ts'
import { judge } from '../../src/page/explain/judge.ts'
import { placeOf } from '../../src/page/explain/place.ts'
import { storyOf, wordsOf } from '../../src/page/explain/story.ts'
import type { ChoiceQuestion, Step } from '../../src/page/explain/types.ts'
import { firstPreset, shippedPresets } from '../../src/page/presets.ts'

type Changes = Parameters<typeof setKeys>[1]
function lifeOf(preset: Preset, changes: Changes = []): Life {
  const made = setKeys(preset, changes)
  if (!made.ok) throw new Error(JSON.stringify(made))
  const result = runLifeSync(made.preset)
  if (!result.ok) throw new Error(JSON.stringify(result.problems))
  return result.life
}
const first = lifeOf(firstPreset())
const reference = shippedPresets.find(({ drop }) => drop.alcohol === 'reference')!
const off = (...names: string[]): Changes => names.map((name) => [`mechanisms.${name}`, false] as const)

const lives: [string, Life][] = [
  ['first drop', first],
  ['without break-up', lifeOf(firstPreset(), [['ring.breakUp', false]])],
  ['reference liquids', lifeOf(reference)],
  ['lens', lifeOf(firstPreset(), [['drop.alcoholMassFraction', 0.3]])],
  ['drawn to a point', lifeOf(firstPreset(), [['drop.alcoholMassFraction', 0.3], ...off('levelling')])],
  ['no evaporation', lifeOf(firstPreset(), off('evaporation'))],
  ['nothing leaves', lifeOf(firstPreset(), off('evaporation', 'uptake'))],
  ['still growing', lifeOf(firstPreset(), [...off('evaporation', 'uptake'), ['model.horizon_s', 3]])],
  ['wall', lifeOf(firstPreset(), [['bath.dishRadius_mm', 20]])],
  ['dries', lifeOf(firstPreset(), off('tensionAbove', 'tensionBelow'))],
  ['known for a second', lifeOf(firstPreset(), [['model.horizon_s', 1]])],
  ['cut', lifeOf(firstPreset(), off('levelling'))],
  ['upper face off', lifeOf(firstPreset(), off('tensionAbove'))],
  ['lower face off', lifeOf(firstPreset(), off('tensionBelow'))],
  ['less drag', lifeOf(firstPreset(), off('bathDrag'))],
  ['still air', lifeOf(firstPreset(), [['air.mode', 'still']])],
  [
    'fast evaporation',
    lifeOf(firstPreset(), [
      ['air.mode', 'constant'],
      ['air.constantRate_umPerS', 20],
    ]),
  ],
  ['methanol', lifeOf(firstPreset(), [['drop.alcohol', 'methanol']])],
  ['castor oil', lifeOf(firstPreset(), [['bath.liquid', 'castor-oil']])],
  ['pure ethanol', lifeOf(firstPreset(), [['drop.alcoholMassFraction', 1]])],
]

const stepOf = (life: Life, id: string): Step | undefined =>
  storyOf(life).steps.find((step) => step.id === id)
const rightOf = ({ options, right }: ChoiceQuestion): string => options[right]!.text

describe.each(lives)('the steps of %s', (_name, life) => {
  const { steps, missing } = storyOf(life)
  const { series, summary } = life
  it('come in the order in which they happen, inside the life, and say nothing that is no number', () => {
    expect(steps.length).toBeGreaterThanOrEqual(summary.outcome === 'failed' ? 1 : 2)
    for (const [i, step] of steps.entries()) {
      expect(step.time).toBeGreaterThanOrEqual(steps[i - 1]?.time ?? 0)
      expect(step.time).toBeLessThanOrEqual(series.t.at(-1)!)
      expect(step.radius).toBeLessThanOrEqual(1.0001 * series.R[indexAt(series.t, step.time)]!)
      expect(`${wordsOf(step)} ${JSON.stringify(step.question)}`).not.toMatch(
        /NaN|undefined|Infinity|−0\.0000|null|(^|\s)–(\s|$)/,
      )
    }
    expect(missing.join(' ')).not.toMatch(/NaN|undefined/)
    for (const line of missing.filter((one) => one.startsWith('Not')))
      expect(line).toMatch(/^Not in this life: .*, because .*\.$/)
  })
  it('have curves that go through the point that the text names', () => {
    for (const { curve } of steps) {
      expect(curve.x.length).toBe(curve.y.length)
      for (const [i, x] of curve.x.entries()) expect(x).toBeGreaterThanOrEqual(curve.x[i - 1] ?? 0)
      if (!curve.mark) continue
      const at = curve.x.indexOf(curve.mark.x)
      expect(at >= 0 ? curve.y[at] : curve.mark.y).toBeCloseTo(curve.mark.y, 6)
      expect(curve.mark.y).toBeLessThanOrEqual(1.0001 * Math.max(...curve.y))
    }
  })
  it('tell a moment that is the one they speak of', () => {
    const at = (id: string) => steps.find((step) => step.id === id)?.time
    const spacing = (time: number) => {
      const k = indexAt(series.t, time)
      return series.t[Math.min(k + 1, series.t.length - 1)]! - series.t[k]! + 1e-12
    }
    if (at('breaks') !== undefined)
      expect(Math.abs(at('breaks')! - summary.firstBreakUp)).toBeLessThan(spacing(summary.firstBreakUp))
    if (at('widest') !== undefined)
      expect(series.R[indexAt(series.t, at('widest')!)]).toBe(Math.max(...series.R))
    if (at('end') !== undefined && summary.collapseTime > 0)
      expect(Math.abs(at('end')! - summary.collapseTime)).toBeLessThan(spacing(summary.collapseTime))
  })
  it('ask with answers of which one is right and the others help', () => {
    for (const { question } of steps) {
      if (question.kind === 'choice') {
        expect(question.options.length).toBeGreaterThanOrEqual(2)
        expect(question.options.length).toBeLessThanOrEqual(4)
        expect(new Set(question.options.map(({ text }) => text)).size).toBe(question.options.length)
        for (const i of question.options.keys()) {
          const { right, line } = judge(question, i)
          expect(right).toBe(i === question.right)
          expect(line.length).toBeGreaterThan(5)
        }
      } else if (question.kind === 'number') {
        const [low, high] = question.accept
        expect(question.right).toBeGreaterThanOrEqual(low)
        expect(question.right).toBeLessThanOrEqual(high)
        expect(judge(question, question.right).right).toBe(true)
        expect(judge(question, high + 1e-6).line).toBe(question.hint.high)
        expect(judge(question, low - 1e-6).line).toBe(question.hint.low)
      } else {
        const { x, y } = question.curve
        expect(judge(question, { x, y }).right).toBe(true)
        // A curve that is fastest in the middle, and none at all.
        expect(judge(question, { x: [0, 1], y: [1, 0] }).right).toBe(false)
        expect(judge(question, { x: [0, 1], y: [0, 0] }).right).toBe(false)
        expect(Math.max(...y)).toBeLessThanOrEqual(question.top)
      }
      expect(judge(question, null)).toEqual({ right: false, line: '' })
    }
  })
  it('offer no answer as wrong that is right in this life', () => {
    const is = (id: string) => steps.find((step) => step.id === id)
    const fields = createFields()
    const look = (step: Step) => {
      moveTo(fields, life.frames, life.preset.bath.dishRadius_mm * 1e-3, step.time)
      return fields
    }
    const pull = is('pull')!
    if (pull.question.kind === 'choice')
      expect(rightOf(pull.question)).toMatch(life.facts.S0 > 0 ? /outward/ : /inward/)
    const alcohol = is('alcohol')
    if (alcohol?.question.kind === 'choice') {
      const { phi, inner, cellRadius, R } = look(alcohol)
      const lowest = Array.from({ length: inner }, (_, i) => i).filter((i) => cellRadius[i]! < 0.9 * R)
      const least = lowest.reduce((best, i) => (phi[i]! < phi[best]! ? i : best), 0)
      expect(rightOf(alcohol.question)).toMatch(/outer film/)
      expect(cellRadius[least]!).toBeGreaterThan(0.8 * R)
    }
    const tension = is('tension')
    if (tension?.question.kind === 'choice') {
      const { above, below } = pullsAt(look(tension), 0.9 * fields.R)
      expect(rightOf(tension.question)).toBe(above + below > 0 ? 'Outward' : 'Inward')
      expect(Math.abs(above + below) * fields.R).toBeGreaterThan(0.04 * Math.abs(life.facts.S0))
    }
    const end = is('end')
    if (end?.question.kind === 'choice') {
      const told = rightOf(end.question)
      if (/draws back/.test(told)) expect(series.R.at(-1)!).toBeLessThan(0.9 * summary.maxRadius)
      if (/dries/.test(told)) expect(summary.outcome).toBe('dries')
      if (/wall/.test(told)) expect(summary.outcome).toBe('reaches-wall')
      if (/grows/.test(told)) expect(series.U.at(-1)!).toBeGreaterThan(0)
      if (/lens/.test(told)) expect(summary.outcome).toBe('lens')
    }
  })
  it('answer the last question with the budget of the place: it closes, and its cause is the largest', () => {
    const place = summary.outcome === 'lens' ? null : placeOf(life)
    expect(steps.some(({ id }) => id === 'why')).toBe(place !== null)
    if (!place) return
    const { budget, way } = place
    const thinner = Math.log(way.start.thickness / way.end.thickness)
    expect(Math.abs(way.stretched + way.vapour + way.oil + way.child - thinner) / thinner).toBeLessThan(0.03)
    const budgetStep = steps.find(({ id }) => id === 'budget')!
    const shown = budgetStep.facts.map(({ value }) => Number(/[+−][\d.]+/.exec(value)![0].replace('−', '-')))
    const sum = shown.slice(0, -1).reduce((so, value) => so + value, 0)
    expect(sum).toBeCloseTo(shown.at(-1)!, 9)
    if (budgetStep.question.kind !== 'choice') return
    const causes = [-budget.stretching, -budget.vapour, -budget.oil].sort((a, b) => b - a)
    expect(causes[0]! / causes[1]!).toBeGreaterThan(1.3)
    expect(rightOf(budgetStep.question)).toBe(
      causes[0] === -budget.stretching
        ? 'It is stretched'
        : causes[0] === -budget.vapour
          ? 'It evaporates'
          : 'The oil takes it up',
    )
  })
})

describe('the first drop', () => {
  const { steps } = storyOf(first)
  /** Words as one reads them: what has a letter or a digit in it. */
  const count = (text: string) => text.split(/\s+/).filter((word) => /[\p{L}\d]/u.test(word)).length
  it('is explained up to the thinnest place in no more than 650 words', () => {
    const last = steps.findIndex(({ id }) => id === 'why')
    expect(last).toBeGreaterThan(5)
    const words = steps.slice(0, last + 1).map((step) => count(wordsOf(step)))
    expect(words.reduce((a, b) => a + b, 0)).toBeLessThanOrEqual(650)
    // The full calculation of the beads comes some seconds later and must not make it longer than that.
    const fingers = {
      verdict: 'beads' as const,
      appear_s: { low: 0.59, value: 0.66, high: 0.74 },
      count: 180,
      wavelength_mm: 0.62,
      gainAtLargest: 20,
      countAtLargest: 120,
      dropRadius_um: 60,
      table: { wavelength_mm: [1.3] },
    }
    const later = storyOf(first, fingers).steps
    expect(later.find(({ id }) => id === 'breaks')!.text).toMatch(/bulges as high as the rim from 0\.66 s on/)
    const all = later.slice(0, last + 1).map((step) => count(wordsOf(step)))
    expect(all.reduce((a, b) => a + b, 0)).toBeLessThanOrEqual(650)
  })
  it('has its rim and its break-up long before the largest radius, and says so', () => {
    const [rim, breaks, widest] = ['rim', 'breaks', 'widest'].map(
      (id) => steps.find((step) => step.id === id)!,
    )
    expect(rim!.time).toBeLessThan(breaks!.time)
    expect(breaks!.time).toBeLessThan(0.3 * widest!.time)
    expect(rim!.text).toMatch(/early in this life/)
    expect(breaks!.answer).toMatch(/while the drop still grows/)
  })
  it('is thinnest where its liquid is stretched', () => {
    const why = stepOf(first, 'why')!
    expect(why.text).toMatch(/^The film is thinnest just inside the rim because its liquid is stretched/)
    expect(stepOf(first, 'budget')!.answer).toMatch(
      /^It leaves faster outward \(.* than it comes from the middle/,
    )
    expect(stepOf(first, 'widest')!.facts[0]!.value).toBe('22.0 mm')
  })
})

describe('what is left out', () => {
  const missing = (name: string) => storyOf(lives.find(([one]) => one === name)![1]).missing.join(' ')
  it('is told with its reason', () => {
    expect(missing('first drop')).toBe('')
    expect(missing('nothing leaves')).toMatch(/nothing evaporates here and the oil takes up nothing/)
    expect(missing('nothing leaves')).toMatch(/a rim, because/)
    expect(missing('dries')).toMatch(/both faces keep the tension/)
    expect(missing('lens')).toMatch(/a film, a rim and child drops, because the drop does not spread/)
  })
  it('nothing is told of a life that still grows in the computer', () => {
    expect(storyOf({ ...first, status: 'growing' })).toEqual({ steps: [], missing: [] })
  })
  it('a slow edge is at rest', () => {
    expect(speedWords(-2e-9, 0.014)).toBe('at rest')
    expect(speedWords(-2e-3, 0.014)).toBe('−2.0 mm/s')
  })
})

describe('the glossary', () => {
  const named = (text: string) => piecesOf(text, new Set()).flatMap(({ entry }) => (entry ? [entry.id] : []))
  it('explains no word by one that comes later: there are no circles', () => {
    const order = GLOSSARY.map(({ id }) => id)
    for (const [i, { id, text }] of GLOSSARY.entries())
      for (const word of named(text))
        if (word !== id) expect(order.indexOf(word), `${id} uses ${word}`).toBeLessThan(i)
  })
  it('uses one or two sentences', () => {
    for (const { text, id } of GLOSSARY) expect(text.match(/[.!?](\s|$)/g)!.length, id).toBeLessThanOrEqual(2)
  })
  it('knows the words of the steps and loses none of the text', () => {
    const text = 'The rim of the drop: narrow places of the rim (Plateau–Rayleigh instability), a thin film.'
    const pieces = piecesOf(text, new Set())
    expect(pieces.map((piece) => piece.text).join('')).toBe(text)
    expect(named(text)).toEqual(['rim', 'plateau-rayleigh', 'film'])
    // No part of a longer word.
    expect(named('trimmed, a knowledge, dropped')).toEqual([])
    const used = new Set(
      lives.flatMap(([, life]) =>
        storyOf(life).steps.flatMap(({ text: so, answer, question }) =>
          named(`${so} ${answer} ${question.text}`),
        ),
      ),
    )
    for (const id of [
      'tension',
      'pull',
      'edge',
      'rim',
      'film',
      'marangoni',
      'spreading-coefficient',
      'collapse',
      'lens',
      'drag',
    ])
      expect(used).toContain(id)
  })
})
