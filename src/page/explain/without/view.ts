/**
 * With and without: the user's drop and the same drop with something switched off, side by side on one clock and one scale.
 * The user's drop never changes by it, unless they take the changed one over.
 */
import './without.css'
import { offNotice } from '../../../life/mechanisms.ts'
import { setPlaying, setWithout, takeCompanion } from '../../actions.ts'
import { el, freshId, keepFocus, oncePerFrame } from '../../dom.ts'
import { followNearness } from '../../near.ts'
import { shownLife } from '../../plots/shown.ts'
import { type State, type Store, type View, watch } from '../../store.ts'
import { type Companion, followCompanion } from './companion.ts'
import { differenceWords, withKnownErrors } from './difference.ts'
import { createMirror, type Mirror } from './mirror.ts'
import { PairPlot } from './plot.ts'
import { chosenSwitches, chosenWords, SWITCHES, type Switch } from './switches.ts'

/** The stage may come to know its name and whether it needs its notes; one that does not passes them over. */
type MakeStage = (root: HTMLElement, store: Store, options?: { name: string; bare: boolean }) => View

/** One switch as a check box, with why it is idle for this drop. */
function switchRow(one: Switch, toggle: (on: boolean) => void) {
  const reasonId = freshId('idle')
  const box = el('input', {
    type: 'checkbox',
    'aria-describedby': reasonId,
    onchange: () => toggle(box.checked),
  })
  const words = el('span')
  const reason = el('span', { class: 'idle', id: reasonId })
  return {
    root: el('label', {}, box, el('span', {}, words, reason)),
    show({ preset, without }: State) {
      const why = one.idle(preset)
      words.textContent = one.words(preset)
      reason.textContent = why && ` (${why})`
      box.disabled = why !== ''
      box.checked = why === '' && without.includes(one.id)
    },
  }
}

/** What is said under the two drops, and whether it is still on its way. */
export function tellPair(
  state: State,
  companion: Companion,
): { text: string; notice: string; late: boolean } {
  const { life, stale, companion: other, without, preset, neighbours } = state
  const none = { text: '', notice: '', late: false }
  if (!companion.wanted) return none
  if (companion.trouble) return { ...none, text: companion.trouble }
  const notice = offNotice(companion.wanted)
  if (stale || life?.status !== 'done' || !other || companion.late)
    return { text: 'Both drops are being worked out.', notice, late: true }
  const words = chosenWords(preset, without)
  return { text: differenceWords(words, other, withKnownErrors(life, neighbours)), notice, late: false }
}

export function createWithout(root: HTMLElement, store: Store): View {
  const toggle = (id: string, on: boolean) => {
    const others = store.getState().without.filter((other) => other !== id)
    setWithout(store, on ? [...others, id] : others)
  }
  const rows = SWITCHES.map((one) => switchRow(one, (on) => toggle(one.id, on)))
  const back = el('button', { type: 'button', onclick: () => setWithout(store, []) }, 'Put all back')
  const take = el('button', { type: 'button', onclick: () => takeOver() }, 'Make this my drop')
  const play = el('button', { type: 'button', onclick: () => playOrPause() }, 'Play both')
  const switches = el(
    'fieldset',
    { class: 'choice-frame without-switches' },
    el('legend', {}, 'Beside your drop, the same drop …'),
    ...rows.map((row) => row.root),
  )
  const ownStage = el('div', { class: 'without-stage' })
  const otherStage = el('div', { class: 'without-stage' })
  const otherTitle = el('h3')
  const pair = el(
    'div',
    { class: 'without-pair' },
    el('section', { 'aria-label': 'The drop as it is' }, el('h3', {}, 'As it is'), ownStage),
    el('section', { 'aria-label': 'The changed drop' }, otherTitle, otherStage),
  )
  const plotHolder = el('div', { class: 'plot-holder without-plot' })
  const says = el('p', { class: 'without-says', role: 'status' })
  const notice = el('p', { class: 'note' })
  const shown = el(
    'div',
    { class: 'without-shown', hidden: true },
    says,
    notice,
    pair,
    plotHolder,
    el('div', { class: 'buttons' }, play, take),
  )
  const before = el(
    'div',
    { class: 'invitation without-before' },
    el(
      'p',
      {},
      'Tick one. Then you see here both drops side by side, their radius against time, and the difference in a sentence.',
    ),
  )
  const first = switches.querySelector('input')!
  root.classList.add('without')
  root.append(
    el('h2', { id: 'without-title', tabindex: -1 }, 'With and without'),
    el(
      'p',
      { class: 'note' },
      'Switch off one thing, or several, and see what it does. Your drop stays as you set it.',
    ),
    switches,
    el('div', { class: 'buttons' }, back),
    shown,
    before,
  )

  const draw = oncePerFrame(drawNow)
  const nearness = followNearness(root, follow)
  const companion = followCompanion(store, () => nearness.near, draw)
  const plot = new PairPlot(plotHolder, store, draw)
  let mirror: Mirror | null = null
  let stages: View[] = []
  let gone = false

  /** Two WebGL pictures are made when they are first wanted. */
  async function makeStages(): Promise<void> {
    mirror = createMirror(store)
    const beside = mirror
    try {
      const make: MakeStage = (await import('../../stage/stage.ts')).createStage
      if (gone) return
      stages = [
        make(ownStage, store, { name: 'as it is', bare: true }),
        make(otherStage, beside.store, { name: 'changed', bare: true }),
      ]
    } catch (error) {
      console.warn('The two drops could not be drawn.', error)
      otherStage.textContent = 'The drops could not be drawn in this browser. The curves and numbers go on.'
    }
  }

  function takeOver(): void {
    if (!companion.wanted) return
    takeCompanion(store, companion.wanted)
    first.focus()
  }

  function playOrPause(): void {
    setPlaying(store, !store.getState().playing)
  }

  function follow(): void {
    companion.follow()
    draw()
  }

  function drawNow(): void {
    if (gone) return
    const state = store.getState()
    for (const row of rows) row.show(state)
    const chosen = chosenSwitches(state.preset, state.without).length > 0
    keepFocus(
      [back],
      () => {
        back.disabled = !chosen
      },
      () => first,
    )
    shown.hidden = !chosen
    before.hidden = chosen
    if (!companion.wanted || !nearness.near) return
    if (!mirror) void makeStages()
    const told = tellPair(state, companion)
    const words = chosenWords(state.preset, state.without)
    mirror?.show(companion.wanted, state.companion, companion.late)
    setText(otherTitle, `${words.charAt(0).toUpperCase()}${words.slice(1)}`)
    // While a slider moves the last sentence stays, pale, so that nothing jumps.
    if (!told.late || says.textContent === '') setText(says, told.text)
    says.classList.toggle('late', told.late)
    setText(notice, told.notice)
    notice.hidden = told.notice === ''
    setText(play, state.playing ? 'Pause' : 'Play both')
    const { life, greyed } = shownLife(state)
    if (life) plot.draw({ own: life, other: state.companion, words, old: greyed || told.late }, state)
  }

  const unwatch = [
    watch(store, ({ preset, without }) => [preset, without], follow),
    watch(
      store,
      ({ life, stale, companion: other, neighbours, time, timeSpan, dark, playing }) => [
        life,
        stale,
        other,
        neighbours,
        time,
        timeSpan,
        dark,
        playing,
      ],
      draw,
    ),
  ]
  return {
    destroy() {
      gone = true
      for (const end of unwatch) end()
      nearness.destroy()
      companion.destroy()
      for (const stage of stages) stage.destroy()
      mirror?.destroy()
      plot.destroy()
      root.replaceChildren()
    },
  }
}

/** What is read aloud is set only where it changes. */
function setText(place: HTMLElement, text: string): void {
  if (place.textContent !== text) place.textContent = text
}
