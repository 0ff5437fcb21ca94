/** Why a rim forms: steps with the present numbers, each of which can be shown on the stage; and what if. */
import { type Leaf, setKeys } from '../../life/preset.ts'
import { say, setCursorRadius, setPlaying, setTime, tryVariant } from '../actions.ts'
import { el, must, oncePerFrame, reducedMotion, svg } from '../dom.ts'
import { plain } from '../format.ts'
import { pinOf } from '../lives/pins.ts'
import { type Store, type View, watch } from '../store.ts'
import { type RimStep, rimSteps, type Spark, sparkPoints } from './model.ts'

const box = { width: 200, height: 56 }

function sparkPicture(spark: Spark): HTMLElement {
  const values = spark.values.filter((value) => Number.isFinite(value))
  const range = `${plain(Math.min(...values), 2)} to ${plain(Math.max(...values), 2)}`
  const picture = svg(
    'svg',
    {
      viewBox: `-2 -3 ${box.width + 4} ${box.height + 6}`,
      class: 'spark',
      preserveAspectRatio: 'none',
      'aria-hidden': 'true',
    },
    svg('line', { x1: 0, x2: box.width, y1: box.height, y2: box.height, class: 'base' }),
    svg('polyline', { points: sparkPoints(spark, box.width, box.height) }),
  )
  const over = spark.label.includes('whole life') ? '' : ', from the middle to the edge'
  return el(
    'figure',
    { class: 'spark-figure' },
    picture,
    el('figcaption', {}, `${spark.label}: ${range}${over}`),
  )
}

function card(step: RimStep, index: number, store: Store): HTMLElement {
  const show = () => {
    setPlaying(store, false)
    setTime(store, step.time)
    setCursorRadius(store, step.radius)
    must('stage').scrollIntoView({ behavior: reducedMotion() ? 'auto' : 'smooth', block: 'start' })
  }
  return el(
    'li',
    { class: 'step' },
    el('h3', {}, `${index + 1}  ${step.title}`),
    sparkPicture(step.spark),
    el('p', {}, step.text),
    el(
      'button',
      { type: 'button', onclick: show, 'aria-label': `Show this moment: ${step.title}` },
      'Show this moment',
    ),
  )
}

interface Variant {
  name: string
  changes: [string, Leaf | null][]
}

/** Only what the inputs can do: nothing else is switched off. */
const variants: readonly Variant[] = [
  {
    name: 'What if nothing evaporated?',
    changes: [
      ['air.mode', 'constant'],
      ['air.constantRate_umPerS', 0],
    ],
  },
  { name: 'Oil like honey (5 Pa·s)?', changes: [['bath.viscosity_mPas', 5000]] },
  { name: 'Only 2 mm of oil?', changes: [['bath.depth_mm', 2]] },
  { name: 'With break-up of the ring', changes: [['ring.breakUp', true]] },
  { name: 'Without break-up of the ring', changes: [['ring.breakUp', false]] },
]

function variantButton({ name, changes }: Variant, store: Store): HTMLButtonElement {
  const take = () => {
    const state = store.getState()
    const result = setKeys(state.preset, changes)
    if (!result.ok) return say(store, 'error', result.problems.map(({ message }) => message).join(' '))
    const pin = state.stale ? null : pinOf(state)
    tryVariant(store, result.preset, pin)
    say(
      store,
      'note',
      name,
      pin ? 'The last life stays as a ghost. Undo brings it back.' : 'Undo brings the last drop back.',
    )
  }
  return el('button', { type: 'button', onclick: take }, name)
}

export function createRim(root: HTMLElement, store: Store): View {
  const steps = el('ol', { class: 'steps' })
  const none = el('p', { class: 'note' })
  const buttons = variants.map((variant) => ({ variant, button: variantButton(variant, store) }))
  root.append(
    el('h2', { id: 'rim-title', tabindex: -1 }, 'Why a rim forms'),
    none,
    steps,
    el('div', { class: 'buttons' }, ...buttons.map(({ button }) => button)),
  )
  let near = false
  let drawn: unknown = null
  let drawnWith: unknown = null

  const draw = oncePerFrame(() => {
    const { life, stale, preset, neighbours } = store.getState()
    for (const { variant, button } of buttons) {
      if (variant.changes[0]![0] === 'ring.breakUp')
        button.hidden = variant.changes[0]![1] === preset.ring.breakUp
    }
    steps.classList.toggle('old', stale)
    // The first life is told unseen, so that the page has its height from the start.
    if (!(near || drawn === null) || !life || life.status === 'growing') return
    // The neighbours are those of the present drop: an older life has none.
    const fingers = stale ? null : neighbours.fingers
    if (drawn === life && (drawnWith === fingers || stale)) return
    drawn = life
    drawnWith = fingers
    const told = rimSteps(life, fingers)
    none.textContent =
      told.length > 1
        ? 'Told with the numbers of the present drop.'
        : 'This drop forms no rim; a stronger mixture would.'
    const held = [...steps.querySelectorAll('button')].indexOf(document.activeElement as HTMLButtonElement)
    steps.replaceChildren(...told.map((step, i) => card(step, i, store)))
    // The beads come some seconds after the life: whoever stands on a button then stays there.
    if (held >= 0) steps.querySelectorAll('button')[held]?.focus({ preventScroll: true })
  })
  /** Nobody sees it further down: then a slider step need not pay for it. */
  const seen = new IntersectionObserver((entries) => {
    near = entries.some(({ isIntersecting }) => isIntersecting)
    draw()
  })
  seen.observe(root)
  const unwatch = watch(
    store,
    ({ life, stale, preset, neighbours }) => [life, stale, preset, neighbours.fingers],
    draw,
  )
  return {
    destroy() {
      unwatch()
      seen.disconnect()
      root.replaceChildren()
    },
  }
}
