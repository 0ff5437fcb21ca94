/** Why a rim forms, told with the numbers of one life: steps with a moment, a place and a small curve. Pure. */
import { seriesAt } from '../../life/sample.ts'
import type { Life } from '../../life/types.ts'
import { cellValue, createFields, type Fields, moveTo, pullsAt, surfaceSpeedAt } from '../../life/view.ts'
import { count, duration, length, plain } from '../format.ts'
import { leftOver } from '../sentence/sentence.ts'

/** A small curve over r/R (0–1). */
export interface Spark {
  /** What and in which unit. */
  label: string
  values: number[]
  logarithmic: boolean
}

export interface RimStep {
  title: string
  text: string
  /** Moment, s, and place, m, that it speaks of. */
  time: number
  radius: number
  spark: Spark
}

const points = 61
const places = Array.from({ length: points }, (_, i) => i / (points - 1))

/** Radius relative to the edge at which the steps look at the outer film. */
const outer = 0.9

const milli = (value: number, digits = 3): string => plain(1e3 * value, digits)

/** A curve of the fields, kept off the very edge where the profile ends. */
function spark(fields: Fields, label: string, of: (r: number) => number, logarithmic = false): Spark {
  return { label, logarithmic, values: places.map((s) => of(Math.min(s, 0.999) * fields.R)) }
}

/** What is needed of one moment. */
class Look {
  readonly fields = createFields()
  constructor(
    readonly life: Life,
    readonly time: number,
  ) {
    moveTo(this.fields, life.frames, life.preset.bath.dishRadius_mm * 1e-3, time)
  }
  at = (field: 'h' | 'phi' | 'sigma', s: number): number => cellValue(this.fields, field, s * this.fields.R)
  speed = (s: number): number => surfaceSpeedAt(this.fields, s * this.fields.R)
  get R(): number {
    return this.fields.R
  }
}

function pulling({ facts }: Life, look: Look): RimStep {
  const { gammaO, gammaA0, gammaI0, S0 } = facts
  const sum = `${milli(gammaO)} − ${milli(gammaA0)} − ${milli(gammaI0)} = ${milli(S0, 2)} mN/m`
  return {
    title: 'The oil pulls harder than the two faces of the drop',
    text: `Oil against air pulls outward, the drop's upper and lower face pull inward: ${sum}. What is left over draws the edge out.`,
    time: look.time,
    radius: look.R,
    spark: spark(look.fields, 'thickness, µm, log', (r) => 1e6 * cellValue(look.fields, 'h', r), true),
  }
}

function carried(_: Life, look: Look): RimStep {
  return {
    title: 'A thin film rides on the oil',
    text: `After ${duration(look.time)} the middle is ${length(look.at('h', 0), 2)} thick, the film at nine tenths of the radius ${length(look.at('h', outer), 2)}. It runs out at ${milli(look.speed(outer), 2)} mm/s and takes the oil under it along; the drag of the oil sets the pace.`,
    time: look.time,
    radius: outer * look.R,
    spark: spark(look.fields, 'speed of the film, mm/s', (r) => 1e3 * surfaceSpeedAt(look.fields, r)),
  }
}

/** Whether the outer film has lost alcohol that can be told from the middle's. */
const faded = (look: Look): boolean => look.at('phi', outer) < 0.97 * look.at('phi', 0)

function weaker({ facts }: Life, look: Look): RimStep {
  const [mid, out] = [look.at('phi', 0), look.at('phi', outer)]
  const ratio = look.at('h', 0) / look.at('h', outer)
  const both = `${plain(100 * mid, 2)} % by volume in the middle, ${plain(100 * out, 2)} % at nine tenths`
  const even = facts.startFlux > 0 ? 'So far little has left' : 'Nothing evaporates here'
  return {
    title: faded(look) ? 'The thin part loses its alcohol first' : 'The thin part keeps its alcohol',
    text: faded(look)
      ? `Alcohol leaves about as fast from every patch, but the outer film is ${plain(ratio, 2)} times thinner than the middle and runs out of it first: ${both}.`
      : `${even}: ${both}.`,
    time: look.time,
    radius: outer * look.R,
    spark: spark(look.fields, 'alcohol, % by volume', (r) => 100 * cellValue(look.fields, 'phi', r)),
  }
}

function tenser(_: Life, look: Look): RimStep {
  const [mid, out] = [look.at('sigma', 0), look.at('sigma', outer)]
  const from = `from ${milli(mid)} mN/m in the middle to ${milli(out)} mN/m at nine tenths`
  return {
    title: faded(look) ? 'Less alcohol, more tension' : 'The tension rises only where the film is too thin',
    text: faded(look)
      ? `The tension that the film passes to the oil grows ${from}.`
      : `The alcohol is even all over. What rise there is, ${from}, comes of a film too thin to pull in full.`,
    time: look.time,
    radius: outer * look.R,
    spark: spark(look.fields, 'tension, mN/m', (r) => 1e3 * cellValue(look.fields, 'sigma', r)),
  }
}

function drawn(_: Life, look: Look): RimStep {
  const { above, below } = pullsAt(look.fields, outer * look.R)
  return {
    title: 'The slope of the tension draws the film outward',
    text: `At nine tenths the upper face pulls with ${plain(above, 2)} Pa and the lower face with ${plain(below, 2)} Pa (outward counts positive), together ${plain(above + below, 2)} Pa; the oil resists with as much. This pull does not ask what the edge does.`,
    time: look.time,
    radius: outer * look.R,
    spark: spark(look.fields, 'pull of both faces, Pa', (r) => {
      const pulls = pullsAt(look.fields, Math.min(r, 0.97 * look.R))
      return pulls.above + pulls.below
    }),
  }
}

function arrested(life: Life, look: Look): RimStep {
  const { U, edgePull } = look.fields
  const film = look.speed(outer)
  const faster = film > 1.3 * Math.abs(U) + 1e-5
  const left =
    edgePull >= 0
      ? `${milli(edgePull, 2)} mN/m are left`
      : `nothing is left; the edge by now pulls inward with ${milli(-edgePull, 2)} mN/m`
  const speeds = `At ${duration(look.time)} the film comes at ${milli(film, 2)} mm/s while the edge moves at ${milli(U, 2)} mm/s`
  return {
    title: faster ? 'The edge comes to rest, the film behind it does not' : 'Film and edge keep step',
    text: `Of the pull that drew the edge out (${milli(life.facts.S0, 2)} mN/m at touch-down) ${left}. ${speeds}. ${faster ? 'More arrives at the edge than the edge moves on.' : 'Little piles up.'}`,
    time: look.time,
    radius: outer * look.R,
    spark: spark(look.fields, 'speed of the film, mm/s', (r) => 1e3 * surfaceSpeedAt(look.fields, r)),
  }
}

function piled(life: Life, look: Look): RimStep {
  const { ringHeight, ringRadius, thin, thinRadius } = seriesAt(life.series, look.time)
  const there = ringHeight > 0 && thin > 0
  const text = there
    ? `What arrives piles up: a rim ${length(ringHeight, 2)} high at ${length(ringRadius)}. Behind it the film is stretched to a thin spot of ${length(thin, 2)} at ${length(thinRadius)}.`
    : 'The film thins evenly toward the edge; nothing is there that would pile it up.'
  return {
    title: there ? 'A rim, and a thin spot behind it' : 'No rim',
    text,
    time: look.time,
    radius: there ? ringRadius : look.R,
    spark: spark(look.fields, 'thickness, µm, log', (r) => 1e6 * cellValue(look.fields, 'h', r), true),
  }
}

/** Radius of the edge over the whole life, 0 to its end. */
function radiusSpark(life: Life): Spark {
  const end = life.series.t.at(-1) ?? 0
  return {
    label: 'radius, mm, over the whole life',
    values: places.map((s) => 1e3 * seriesAt(life.series, s * end).R),
    logarithmic: false,
  }
}

function ending(life: Life, look: Look): RimStep {
  const { summary } = life
  const { childDrops, outcome } = summary
  const sheds = childDrops.count > 0
  const end = duration(summary.lifeEnd)
  const drawnBack =
    summary.collapseTime > 0
      ? `The film, weak by now, is drawn together again: collapse at ${duration(summary.collapseTime)}.`
      : `The film, weak by now, is drawn together again; after ${end} it is still going on.`
  const endings: Partial<Record<typeof outcome, string>> = {
    recedes: drawnBack,
    spreads: `The calculation ends after ${end}; the drop is still spread. What comes then is not known.`,
    'reaches-wall': `The drop reaches the wall of the dish after ${end}.`,
    dries: `The film dries where it lies, by ${end}.`,
  }
  const after = endings[outcome] ?? `It is followed to ${end}.`
  const title = outcome === 'recedes' ? 'The drop draws back' : 'The end'
  return {
    title: sheds ? 'The rim breaks up' : title,
    text: sheds
      ? `A long thin rim of liquid is not stable. From ${duration(summary.firstBreakUp)} on it sheds ${count(childDrops.count)} child drops (an estimate), half of their volume below ${length(childDrops.medianRadius, 2)} radius. The drop ${leftOver(life)}.`
      : after,
    time: look.time,
    radius: look.R,
    spark: radiusSpark(life),
  }
}

/** The steps of a whole life; of a lens only the first. Empty while nothing is known. */
export function rimSteps(life: Life): RimStep[] {
  if (life.status === 'growing' || life.frames.count < 3) return []
  const { outcome, maxRadiusTime, lifeEnd } = life.summary
  const end = Math.min(lifeEnd, life.series.t.at(-1) ?? 0)
  if (outcome === 'lens' || outcome === 'failed') {
    const step = pulling(life, new Look(life, end))
    if (life.facts.S0 >= 0) return [step]
    const text = step.text.replace(/What is left over.*$/, 'Nothing is left over: the drop stays a lens.')
    return [{ ...step, title: 'The oil does not pull hard enough', text }]
  }
  const peak = Math.max(1e-3, Math.min(maxRadiusTime, end))
  const at = (part: number) => new Look(life, Math.min(end, part * peak))
  return [
    pulling(life, at(0.02)),
    carried(life, at(0.15)),
    weaker(life, at(0.3)),
    tenser(life, at(0.6)),
    drawn(life, at(0.8)),
    arrested(life, at(1)),
    piled(life, at(1.15)),
    ending(life, new Look(life, 0.92 * end)),
  ]
}

/** A curve as the points of a polyline in a box; gaps closed. */
export function sparkPoints({ values, logarithmic }: Spark, width: number, height: number): string {
  const shown = values.map((value) => (logarithmic ? Math.log10(Math.max(value, 1e-3)) : value))
  const finite = shown.filter((value) => Number.isFinite(value))
  const low = Math.min(...finite)
  const high = Math.max(...finite)
  // Differences that do not matter are drawn as the flat line that they are.
  const span = Math.max(high - low, 0.02 * Math.abs(high)) || 1
  return shown
    .map((value, i) => [(i / (shown.length - 1)) * width, height - ((value - low) / span) * height])
    .filter(([, y]) => Number.isFinite(y))
    .map(([x, y]) => `${x!.toFixed(1)},${y!.toFixed(1)}`)
    .join(' ')
}
