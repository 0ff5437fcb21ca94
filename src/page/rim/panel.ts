/** Why a rim forms: steps with the present numbers, each of which can be shown on the stage; and what if. */
import { setCursorRadius, setPlaying, setTime } from '../actions.ts'
import { el, must, oncePerFrame, reducedMotion, svg } from '../dom.ts'
import { plain } from '../format.ts'
import { type Store, type View, watch } from '../store.ts'
import { noRimWords, type RimStep, rimSteps, type Spark, sparkPoints } from './model.ts'
import { createWhatIfs } from './whatIfView.ts'

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

export function createRim(root: HTMLElement, store: Store): View {
  const steps = el('ol', { class: 'steps' })
  const none = el('p', { class: 'note' })
  const whatIfs = createWhatIfs(store)
  root.append(el('h2', { id: 'rim-title', tabindex: -1 }, 'Why a rim forms'), none, steps, whatIfs.root)
  let near = false
  let drawn: unknown = null
  let drawnWith: unknown = null

  const draw = oncePerFrame(() => {
    const { life, stale, neighbours } = store.getState()
    steps.classList.toggle('old', stale)
    // The first life is told unseen, so that the page has its height from the start.
    if (!(near || drawn === null) || !life || life.status === 'growing') return
    // The neighbours are those of the present drop: an older life has none.
    const fingers = stale ? null : neighbours.fingers
    if (drawn === life && (drawnWith === fingers || stale)) return
    drawn = life
    drawnWith = fingers
    const told = rimSteps(life, fingers)
    none.textContent = told.length > 1 ? 'Told with the numbers of the present drop.' : noRimWords(life)
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
  const unwatch = watch(store, ({ life, stale, neighbours }) => [life, stale, neighbours.fingers], draw)
  return {
    destroy() {
      unwatch()
      whatIfs.destroy()
      seen.disconnect()
      root.replaceChildren()
    },
  }
}
