/** Exercises that are answered by changing the drop. */
import type { Life, Preset } from '../../../life/types.ts'
import { percentText } from '../../../plan/figures.ts'
import { thresholdOf } from '../../../plan/threshold.ts'
import { shownNumber } from '../../controls/scale.ts'
import { duration, length, plain } from '../../format.ts'
import {
  brokenLife,
  changed,
  growsOn,
  neverSpreads,
  STRENGTH,
  spreading,
  spreadingWords,
  spreads,
  staysLens,
  strengthWords,
  whole,
  withStrength,
} from './tools.ts'
import type { Exercise, Verdict } from './types.ts'

const no = (say: string): Verdict => ({ done: false, say })
const yes = (say: string): Verdict => ({ done: true, say })
const byDrop = { kind: 'drop' } as const
const strengthOnly = (path: string): boolean => path === STRENGTH

const weaker = (preset: Preset, by: number): Preset =>
  withStrength(preset, preset.drop.alcoholMassFraction - by)

export const threshold: Exercise = {
  id: 'threshold',
  title: 'The weakest that spreads',
  task: () =>
    'Find the weakest mixture that still spreads on this oil, to one per cent of strength. Move only the strength.',
  start(own) {
    const drop = whole(own)
    const { massFraction } = thresholdOf(drop)
    const near = Math.abs(drop.drop.alcoholMassFraction - massFraction) < 0.05
    return near ? withStrength(drop, massFraction < 0.6 ? 0.9 : 0.2) : drop
  },
  cannot: (start) =>
    neverSpreads(start) ||
    (thresholdOf(start).kind === 'always'
      ? 'On this oil even water spreads, so there is no weakest mixture. Choose another oil first.'
      : ''),
  may: strengthOnly,
  answer: byDrop,
  hints: [
    'Halve the interval: between a strength that spreads and one that does not, try the middle.',
    'The spreading parameter S = γo − γa − γi tells on which side you are. Its sign changes at the threshold.',
  ],
  lives: ({ drop }) => ({ drop, weaker: weaker(drop, 0.01) }),
  judge({ drop }, lives) {
    const mine = lives.drop!
    const broken = brokenLife(lives)
    if (broken) return broken
    if (!spreads(mine)) return no(`${staysLens(mine)} Make it stronger.`)
    const less = weaker(drop, 0.01)
    if (spreads(lives.weaker!))
      return no(
        `It spreads (S is ${spreadingWords(mine)}), but so does a drop one per cent weaker (${spreadingWords(lives.weaker!)}). Go lower.`,
      )
    const balance = thresholdOf(drop).massFraction
    return yes(
      `Found: ${strengthWords(drop)} spreads, ${strengthWords(less)} stays a lens. The balance of the three tensions puts the threshold at ${percentText(balance)}.`,
    )
  },
}

/** How long a drop lasts, s. `open`: at least so long, for its end was not computed. NaN: it never spread, or met the wall. */
function lasting({ summary }: Life): { time: number; open: boolean } {
  const { outcome, collapseTime, lifeEnd } = summary
  if (outcome === 'lens' || outcome === 'failed' || outcome === 'reaches-wall')
    return { time: Number.NaN, open: false }
  if (collapseTime > 0) return { time: collapseTime, open: false }
  return { time: lifeEnd, open: outcome === 'spreads' || outcome === 'recedes' }
}

export const twiceAsLong: Exercise = {
  id: 'twice-as-long',
  title: 'Twice the life',
  task: () =>
    'Make the drop last at least twice as long, from touch-down until it has drawn back, dried or gone. Its volume must stay, and it must still spread. Drop, oil and air may change.',
  start: spreading,
  cannot: neverSpreads,
  may: (path) => path !== 'drop.volume_uL' && /^(drop|bath|air)\./.test(path),
  answer: byDrop,
  hints: [
    'What takes the alcohol away, and how could it be slower?',
    'A drop that spreads more slowly stays thick for longer. What holds it back?',
  ],
  lives: ({ start, drop }) => ({ start, drop }),
  judge(_, lives) {
    const broken = brokenLife(lives)
    if (broken) return broken
    const [before, now] = [lasting(lives.start!), lasting(lives.drop!)]
    if (!(before.time > 0) || before.open)
      return no(
        'The drop with which this began has no end in the time that is computed, so “twice as long” means nothing. Put your drop back, make one that draws back, and begin anew.',
      )
    if (!spreads(lives.drop!)) return no(`${staysLens(lives.drop!)} A lens does not count.`)
    if (Number.isNaN(now.time)) return no('It reaches the wall of the dish: take a wider dish.')
    const times = now.time / before.time
    const said = `It lasts ${now.open ? 'at least ' : ''}${duration(now.time)} instead of ${duration(before.time)}, ${plain(times, 3)} times as long`
    if (times >= 2) return yes(`${said}.`)
    return no(
      now.open
        ? `${said}, and what comes then is not computed: give it a longer time (Longest life), or make it quicker.`
        : `${said}: ${plain(2 * before.time - now.time, 2)} s are missing.`,
    )
  },
}

/** The highest rim while a drop grows from half its largest radius to it, m, with the film behind it; null without one. */
function rimWhileGrowing({ series, summary }: Life): { ring: number; thin: number } | null {
  let best: { ring: number; thin: number } | null = null
  for (let i = 0; i < series.t.length; i++) {
    const ring = series.ringHeight[i]!
    const growing = series.t[i]! <= summary.maxRadiusTime && series.R[i]! > 0.5 * summary.maxRadius
    if (growing && ring > (best?.ring ?? 0)) best = { ring, thin: series.thin[i]! }
  }
  return best
}

export const noRim: Exercise = {
  id: 'no-rim',
  title: 'Without a rim',
  task: () =>
    'Make a drop that spreads to at least twice its start radius and has no rim while it grows. Drop, oil and air may change, and mechanisms may be switched off.',
  start: spreading,
  cannot: neverSpreads,
  may: (path) => /^(drop|bath|air|mechanisms)\./.test(path),
  answer: byDrop,
  hints: [
    'What arrives at the edge faster than the edge moves on piles up there. What makes the film run faster than the edge?',
    'A slope of the tension does, and the tension follows the alcohol. What makes the alcohol uneven?',
    'There are two ways by which alcohol leaves. Close both.',
  ],
  lives: ({ drop }) => ({ drop }),
  judge({ drop }, lives) {
    const broken = brokenLife(lives)
    if (broken) return broken
    const life = lives.drop!
    if (!spreads(life)) return no(staysLens(life))
    const times = life.summary.maxRadius / (1e-3 * drop.drop.startRadius_mm)
    if (times < 2) return no(`It spreads to only ${plain(times, 2)} times its start radius; 2 are asked for.`)
    const rim = rimWhileGrowing(life)
    if (!rim) return yes(`It spreads to ${length(life.summary.maxRadius)} and has no rim on the way.`)
    const film = rim.thin > 0 ? ` over a film of ${length(rim.thin, 2)}` : ' over a film that is all but dry'
    return no(`It has a rim, ${length(rim.ring, 2)} high${film}. Something still drives liquid to the edge.`)
  },
}

const DISH = 30
const LARGER = 1.1

export const widestDrop: Exercise = {
  id: 'widest-drop',
  title: 'As large as the dish allows',
  task: ({ bath }) =>
    `Find the largest drop that does not touch the wall of this dish (inner radius ${shownNumber(bath.dishRadius_mm)} mm), to a tenth of its volume. Move only the volume.`,
  start: (own) =>
    changed(
      spreading(own),
      ['bath.dishRadius_mm', DISH],
      ['drop.volume_uL', Math.min(own.drop.volume_uL, 5)],
    ),
  cannot: neverSpreads,
  may: (path) => path === 'drop.volume_uL',
  answer: byDrop,
  hints: [
    'Twice the volume does not make twice the radius. Try how much it does make.',
    'The largest radius grows about as the fourth root of the volume.',
  ],
  lives: ({ drop }) => ({
    drop,
    larger: changed(drop, ['drop.volume_uL', Math.min(100, LARGER * drop.drop.volume_uL)]),
  }),
  judge({ drop }, lives) {
    const broken = brokenLife(lives)
    if (broken) return broken
    const [mine, larger] = [lives.drop!, lives.larger!]
    const wall = 1e-3 * drop.bath.dishRadius_mm
    if (!spreads(mine)) return no(staysLens(mine))
    const speed = mine.series.U.at(-1) ?? 0
    if (mine.summary.outcome === 'reaches-wall')
      return no(
        `It touches the wall after ${duration(mine.summary.lifeEnd)} and still grows by ${plain(1e3 * speed, 2)} mm/s there. Take less.`,
      )
    if (growsOn(mine))
      return no(
        'It is still growing where the calculation ends, so nobody knows whether it will touch the wall.',
      )
    const left = (life: Life) => length(wall - life.summary.maxRadius, 2)
    if (larger.summary.outcome === 'reaches-wall')
      return yes(
        `Found: ${shownNumber(drop.drop.volume_uL)} µL stays ${left(mine)} off the wall; a tenth more touches it.`,
      )
    if (drop.drop.volume_uL >= 100)
      return yes(`Even 100 µL, the largest drop that is permitted, stays ${left(mine)} off the wall.`)
    return no(
      `It stays ${left(mine)} off the wall, and so does a drop a tenth larger (${left(larger)}). Take more.`,
    )
  },
}

/** Strengths of which at least one must shed, or the exercise is none. */
const STRONG = [0.75, 0.9]
const LESS = 0.02

export const leastShedding: Exercise = {
  id: 'least-shedding',
  title: 'The weakest that sheds',
  task: () =>
    'Find the smallest strength at which child drops are still shed, to two per cent. Break-up is on. Move only the strength.',
  start: (own) => changed(spreading(own), ['ring.breakUp', true]),
  cannot: neverSpreads,
  may: strengthOnly,
  answer: byDrop,
  hints: [
    'Waves on the rim need time and a rim that is much higher than the film behind it. What does more alcohol do to both?',
    'From about a third of the rim’s width on, waves break it. The answer says how far they come.',
  ],
  lives: ({ drop }) => ({
    drop,
    weaker: weaker(drop, LESS),
    ...Object.fromEntries(STRONG.map((strength, i) => [`strong${i}`, withStrength(drop, strength)])),
  }),
  judge({ drop }, lives) {
    const sheds = ({ summary }: Life) => summary.outcome === 'sheds'
    const [mine, less] = [lives.drop!, lives.weaker!]
    const broken = brokenLife({ mine, less })
    if (broken) return broken
    if (!sheds(mine) && !STRONG.some((_, i) => sheds(lives[`strong${i}`]!)))
      return no(
        'On this oil not even a drop of 75 or of 90 % sheds, so this cannot be done with it. Put your drop back, choose another oil, and begin anew.',
      )
    if (!spreads(mine)) return no(`${staysLens(mine)} It has no rim that could break.`)
    if (!sheds(mine)) {
      const waves = mine.summary.waves
      const far =
        waves >= 0 ? `: the waves come to ${plain(waves, 2)} of the rim’s width, about 0.33 are needed` : ''
      return no(`It sheds nothing${far}. Make it stronger.`)
    }
    const said = `${strengthWords(drop)} sheds about ${plain(mine.summary.childDrops.count, 2)} child drops`
    if (sheds(less))
      return no(
        `${said}, but two per cent less sheds too (about ${plain(less.summary.childDrops.count, 2)}). Go lower.`,
      )
    return yes(`Found: ${said}, ${strengthWords(weaker(drop, LESS))} sheds none. (Shedding is an estimate.)`)
  },
}

/** The largest radius asked for, in parts of that at the start, and how close. */
const PART = 0.8
const CLOSE = 0.02

export const hitRadius: Exercise = {
  id: 'hit-radius',
  title: 'Hit a radius',
  task: () =>
    'Make the largest radius four fifths of what it is now, to two per cent. Move only the strength.',
  start: spreading,
  cannot: neverSpreads,
  may: strengthOnly,
  answer: byDrop,
  hints: [
    'The pull at the edge shrinks with the strength, and is nothing at the threshold.',
    'Halve the interval between a strength that goes too far and one that does not go far enough.',
  ],
  lives: ({ start, drop }) => ({ start, drop }),
  judge(_, lives) {
    const broken = brokenLife(lives)
    if (broken) return broken
    const [before, now] = [lives.start!, lives.drop!]
    if (before.summary.outcome === 'reaches-wall' || growsOn(before))
      return no(
        'The drop with which this began has no largest radius of its own. Take a wider dish and begin anew.',
      )
    const wanted = PART * before.summary.maxRadius
    if (!spreads(now)) return no(staysLens(now))
    const off = now.summary.maxRadius / wanted - 1
    const said = `It spreads to ${length(now.summary.maxRadius)}; ${length(wanted)} are asked for`
    if (Math.abs(off) <= CLOSE) return yes(`${said}, so it is within ${plain(100 * Math.abs(off), 1)} %.`)
    return no(`${said}: ${plain(100 * Math.abs(off), 2)} % too ${off > 0 ? 'far' : 'little'}.`)
  },
}

const OIL = 'bath.liquid'
const SHORTER = 0.8

export const slowOil: Exercise = {
  id: 'slow-oil',
  title: 'Choose the oil',
  task: () =>
    'By nothing but another oil, make the drop spread at least a fifth less far than on rapeseed oil. It must still spread.',
  start: (own) =>
    own.drop.alcohol === 'reference'
      ? whole(own)
      : spreading(
          changed(
            own,
            [OIL, 'rapeseed-oil'],
            ...[
              'viscosity_mPas',
              'density_kgPerM3',
              'tension_mNperM',
              'solubility',
              'alcoholDiffusivity_m2PerS',
            ].map((name) => [`bath.${name}`, null] as const),
          ),
        ),
  cannot: (start) =>
    start.drop.alcohol === 'reference'
      ? 'The closed-form liquids only come as a pair, so the oil cannot be chosen. Take a real alcohol first.'
      : neverSpreads(start),
  may: (path) => path === OIL,
  answer: byDrop,
  hints: [
    'Two things about an oil matter: how hard its surface pulls, and how it resists being dragged along.',
    'On oils with a low tension against air the drop stays a lens. Look for a thick oil instead.',
  ],
  lives: ({ start, drop }) => ({ start, drop }),
  judge(_, lives) {
    const broken = brokenLife(lives)
    if (broken) return broken
    const [before, now] = [lives.start!, lives.drop!]
    if (!spreads(now)) return no(staysLens(now))
    const part = now.summary.maxRadius / before.summary.maxRadius
    const said = `It spreads to ${length(now.summary.maxRadius)} instead of ${length(before.summary.maxRadius)}, ${plain(100 * part, 2)} % as far`
    return part <= SHORTER
      ? yes(
          `${said}. This oil is ${plain(now.facts.oilViscosity / before.facts.oilViscosity, 2)} times as thick.`,
        )
      : no(`${said}; at most ${plain(100 * SHORTER, 2)} % are asked for.`)
  },
}
