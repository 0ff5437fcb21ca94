/** Behind one button: from where the drop is looked at, and how its heights are drawn. */
import { setCamera, setHeightFactor, setLogHeight } from '../actions.ts'
import { el } from '../dom.ts'
import { type Store, watch } from '../store.ts'
import { type Camera, looks, steps, turned, zoomed } from './camera.ts'

/** Factors of the heights, as the slider's powers of ten. */
const factors = { least: 0, most: 2, step: 0.02 } as const
/** Two digits are enough for a factor. */
const factorAt = (power: number): number => Number((10 ** power).toPrecision(2))

type Change = (camera: Camera, tilt: number) => Camera

const places: readonly [string, Change][] = [
  ['From above', () => looks.above],
  ['From the side', () => looks.side],
  ['Back to start', () => looks.start],
]
const moves: readonly [string, string, Change][] = [
  ['←', 'Turn to the left', (camera, tilt) => turned(camera, { turn: -steps.turn }, tilt)],
  ['→', 'Turn to the right', (camera, tilt) => turned(camera, { turn: steps.turn }, tilt)],
  ['↑', 'Look more steeply', (camera, tilt) => turned(camera, { tilt: steps.tilt }, tilt)],
  ['↓', 'Look more flatly', (camera, tilt) => turned(camera, { tilt: -steps.tilt }, tilt)],
  ['+', 'Zoom in', (camera) => zoomed(camera, steps.zoom)],
  ['−', 'Zoom out', (camera) => zoomed(camera, 1 / steps.zoom)],
]
const help =
  'Drag turns, Shift + drag moves, Ctrl + wheel zooms. Two fingers zoom, turn and move. With the drop in focus: A D W S turn and tilt, + − zoom, Shift + A D W S move, 0 goes back.'

export class ViewMenu {
  readonly root: HTMLDetailsElement
  private readonly list: HTMLElement
  private readonly range = el('input', { type: 'range', ...attributesOf(factors) })
  private readonly switch = el('input', { type: 'checkbox' })
  private readonly unwatch: () => void

  /** @param tilt the picture's tilt at present @param floor what the menu must not reach below */
  constructor(
    store: Store,
    tilt: () => number,
    private readonly floor: HTMLElement,
  ) {
    const press = (label: string, name: string, change: Change) =>
      el(
        'button',
        {
          type: 'button',
          ...(name === label ? {} : { 'aria-label': name, title: name }),
          onclick: () => setCamera(store, change(store.getState().camera, tilt())),
        },
        label,
      )
    this.range.addEventListener('input', () => setHeightFactor(store, factorAt(Number(this.range.value))))
    this.switch.addEventListener('change', () => setLogHeight(store, this.switch.checked))
    this.list = el(
      'div',
      { class: 'stage-view-list', role: 'group', 'aria-label': 'View of the drop' },
      el('div', { class: 'stage-view-row' }, ...places.map(([label, change]) => press(label, label, change))),
      el(
        'div',
        { class: 'stage-view-row' },
        ...moves.map(([label, name, change]) => press(label, name, change)),
      ),
      el('label', { class: 'stage-view-heights' }, 'Heights', this.range),
      el('label', { class: 'stage-view-heights' }, this.switch, 'Logarithmic, here and in the section'),
      el('p', { class: 'stage-view-help' }, help),
    )
    this.root = el(
      'details',
      { class: 'plot-menu stage-view', name: 'plot-menu' },
      el('summary', { 'aria-label': 'View: from where, and heights' }, 'View'),
      this.list,
    )
    this.root.addEventListener('toggle', () => this.fit())
    this.root.addEventListener('keydown', (event) => {
      if (event.key !== 'Escape' || !this.root.open) return
      event.stopPropagation()
      this.root.open = false
      this.root.querySelector('summary')?.focus()
    })
    this.unwatch = watch(
      store,
      ({ heightFactor, logHeight }) => [heightFactor, logHeight] as const,
      ([factor, logarithmic]) => {
        // Not under the hand that moves it: a rounded factor would draw the handle back.
        if (factorAt(Number(this.range.value)) !== factor) this.range.value = String(Math.log10(factor))
        this.switch.checked = logarithmic
      },
    )
  }

  /** @param text what the heights are */
  say(text: string): void {
    this.range.setAttribute('aria-valuetext', text)
  }

  /** The menu ends within the stage, which cuts off what stands out, and scrolls if it must. */
  fit(): void {
    if (!this.root.open) return
    const room = this.floor.getBoundingClientRect().bottom - this.list.getBoundingClientRect().top
    this.list.style.maxHeight = `${Math.max(60, room - 6)}px`
  }

  destroy(): void {
    this.unwatch()
  }
}

function attributesOf({ least, most, step }: typeof factors) {
  return { min: least, max: most, step, value: Math.log10(20), 'aria-label': 'Heights: stretched by' }
}
