/** Exercises that are answered by a number or a choice. */
import type { Life, Preset } from '../../../life/types.ts'
import { shownNumber } from '../../controls/scale.ts'
import { length, plain } from '../../format.ts'
import { chosenSwitches, companionOf, SWITCHES } from '../without/switches.ts'
import { brokenLife, changed, growsOn, neverSpreads, spreading } from './tools.ts'
import type { Exercise, Verdict } from './types.ts'

const no = (say: string): Verdict => ({ done: false, say })
const yes = (say: string): Verdict => ({ done: true, say })
const nothing = (): boolean => false

const SHALLOW = 2
const ofDepth = (start: Preset, depth: number): Preset => changed(start, ['bath.depth_mm', depth])

/** Curves whose largest radii differ by less than this part cannot be told apart by eye. */
const ALIKE = 0.03

export const twoDepths: Exercise = {
  id: 'two-depths',
  title: 'Two curves',
  task: () =>
    'Two lives of your drop are drawn. They differ in one thing: on one the oil is twice as deep as on the other. On which?',
  start: spreading,
  cannot: neverSpreads,
  may: nothing,
  answer: {
    kind: 'choice',
    label: 'The deeper oil is that of',
    options: () => [
      ['A', 'curve A'],
      ['B', 'curve B'],
    ],
  },
  hints: [
    'The drop drags oil along. Oil that lies on the floor of the dish cannot move.',
    'The nearer the floor, the steeper the flow between it and the drop, and the more it resists.',
  ],
  curves: ({ start, seed }) => {
    const both = [ofDepth(start, SHALLOW), ofDepth(start, 2 * SHALLOW)] as const
    return seed % 2 === 0 ? both : [both[1], both[0]]
  },
  lives: ({ start }) => ({ shallow: ofDepth(start, SHALLOW), deep: ofDepth(start, 2 * SHALLOW) }),
  judge({ seed, choice }, lives) {
    const broken = brokenLife(lives)
    if (broken) return broken
    const [shallow, deep] = [lives.shallow!.summary, lives.deep!.summary]
    if (Math.abs(deep.maxRadius / shallow.maxRadius - 1) < ALIKE)
      return no(
        `The depth hardly matters for this drop (${length(shallow.maxRadius)} and ${length(deep.maxRadius)}), so the curves cannot be told apart. Put your drop back, take another, and begin anew.`,
      )
    if (choice === '') return no('Choose A or B first.')
    const right = choice === (seed % 2 === 0 ? 'B' : 'A')
    const far = `On ${SHALLOW} mm of oil the largest radius is ${length(shallow.maxRadius)}, on ${2 * SHALLOW} mm ${length(deep.maxRadius)}`
    return right
      ? yes(`So it is. ${far}: deeper oil gives way more easily.`)
      : no(`Curve ${choice} is that of the shallow oil. ${far}. Why is it so?`)
  },
}

/** Mechanisms whose absence counts as much as the best: within this part of the radius. */
const TIE = 0.01
const named = (start: Preset, id: string): string => {
  const words = chosenSwitches(start, [id])[0]?.words(start) ?? ''
  return words.replace(/^without /, '')
}
const openMechanisms = (start: Preset): string[] =>
  SWITCHES.filter(({ id, idle }) => id in start.mechanisms && idle(start) === '').map(({ id }) => id)

export const whichMechanism: Exercise = {
  id: 'which-mechanism',
  title: 'What holds it back most?',
  task: () =>
    'One mechanism after the other is switched off, one at a time. Without which of them does the largest radius grow most?',
  start: spreading,
  cannot: neverSpreads,
  may: nothing,
  answer: {
    kind: 'choice',
    label: 'It grows most without',
    options: (start) => openMechanisms(start).map((id) => [id, named(start, id)] as const),
  },
  hints: [
    'The drop stops where the pull at its edge has gone. What takes the pull away, and what decides how far the drop gets until then?',
    '“With and without” shows any one of them. Guess first, then look.',
  ],
  lives: ({ start }) => ({
    start,
    ...Object.fromEntries(openMechanisms(start).map((id) => [id, companionOf(start, [id]) ?? start])),
  }),
  judge({ start, choice }, lives) {
    const { start: own, ...others } = lives
    const radius = (life: Life) => life.summary.maxRadius
    const broken = brokenLife({ start: own! })
    if (broken) return broken
    if (choice === '') return no('Choose a mechanism first.')
    const known = Object.entries(others).filter(([, { summary }]) => summary.outcome !== 'failed')
    const best = Math.max(...known.map(([, life]) => radius(life)))
    if (best < (1 + TIE) * radius(own!))
      return no(
        'None of them makes the radius of this drop grow by more than one per cent. Take another drop.',
      )
    const mine = others[choice]
    if (!mine || mine.summary.outcome === 'failed')
      return no(`The life without ${named(start, choice)} could not be followed to its end. Choose another.`)
    const grown = (life: Life) => {
      const by = radius(life) - radius(own!)
      return `${by < 0 ? '−' : '+'}${length(Math.abs(by), 2)}`
    }
    const wall = (life: Life) => (life.summary.outcome === 'reaches-wall' ? ', where the wall stops it' : '')
    const said = `Without ${named(start, choice)} it spreads to ${length(radius(mine))} instead of ${length(radius(own!))} (${grown(mine)})${wall(mine)}`
    if (radius(mine) >= (1 - TIE) * best) return yes(`${said}. No other does more.`)
    const other = known.find(([, life]) => radius(life) === best)![1]
    return no(`${said}. Another does more: ${grown(other)}.`)
  },
}

/** Largest error of the guess that counts as right. */
const NEAR = 0.03
const MOST = 50

export const twiceTheVolume: Exercise = {
  id: 'twice-the-volume',
  title: 'Twice the volume',
  task: ({ drop }) =>
    `How large does the drop get with twice its volume (${shownNumber(2 * drop.volume_uL)} instead of ${shownNumber(drop.volume_uL)} µL), all else equal? Say its largest radius before you try; three per cent are allowed.`,
  start: (own) =>
    own.drop.volume_uL > MOST ? changed(spreading(own), ['drop.volume_uL', 20]) : spreading(own),
  cannot: neverSpreads,
  may: nothing,
  answer: { kind: 'number', label: 'Largest radius with twice the volume', unit: 'mm' },
  hints: [
    'If the thickness stayed the same, the radius would go as the square root of the volume. Does the drop with more liquid have the same time?',
    'More alcohol lasts longer, but the drop is slowed by the oil: both together give about the fourth root.',
  ],
  lives: ({ start }) => ({ start, twice: changed(start, ['drop.volume_uL', 2 * start.drop.volume_uL]) }),
  judge({ number }, lives) {
    const broken = brokenLife(lives)
    if (broken) return broken
    const [one, two] = [lives.start!, lives.twice!]
    const ended = (life: Life) => life.summary.outcome !== 'reaches-wall' && !growsOn(life)
    if (!ended(one) || !ended(two))
      return no(
        'With one of the two volumes the drop reaches the wall or is still growing where the calculation ends, so there is no largest radius to be told. Put your drop back, take a wider dish or a weaker mixture, and begin anew.',
      )
    if (!(number > 0)) return no('Enter a radius in mm first, a number above 0.')
    const [R1, R2] = [one.summary.maxRadius, two.summary.maxRadius]
    const off = (1e-3 * number) / R2 - 1
    if (Math.abs(off) > NEAR)
      return no(
        `${shownNumber(number)} mm is ${plain(100 * Math.abs(off), 2)} % too ${off > 0 ? 'much' : 'little'}. With the single volume it is ${length(R1)}.`,
      )
    return yes(
      `The life goes to ${length(R2)}, ${plain(R2 / R1, 3)} times as far as before (${length(R1)}): here R goes as V^${plain(Math.log2(R2 / R1), 2)}. The rule of thumb for alcohol that evaporates while the oil’s drag holds the drop is V^0.25 (1.19 times); equal thickness would be V^0.5 (1.41 times), equal shape V^0.33 (1.26 times).`,
    )
  },
}
