/** Map: what becomes of the drop over two inputs; a point that is chosen becomes the drop. */
import { setKeys } from '../../life/preset.ts'
import type { MapWish, OutcomeMap } from '../../plan/outcomeMap.ts'
import { keyValue, setPreset } from '../actions.ts'
import { el, keepFocus, oncePerFrame, svg } from '../dom.ts'
import { brokeOff } from '../lives/alive.ts'
import { askedClient, type PlanJob } from '../lives/planClient.ts'
import { followNearness, type Nearness } from '../near.ts'
import { fileName, savingMenu } from '../plots/saving.ts'
import { partsChanged } from '../report/parts.ts'
import { type Store, type View, watch } from '../store.ts'
import { palette } from '../theme.ts'
import { axisChoice } from './axisChoice.ts'
import { drawMap, frameFor, type MapFrame } from './drawing.ts'
import { mapLegend } from './legend.ts'
import { type MapColour, mapCsv, pointWords, withoutInputs } from './mapData.ts'
import { followPointing } from './pointing.ts'
import { offerMapPart, type ShownMap } from './reportPart.ts'

const sizes: readonly [string, number, number][] = [
  ['coarse (13 × 9)', 13, 9],
  ['normal (25 × 17)', 25, 17],
  ['fine (49 × 33)', 49, 33],
]
const colourings: readonly [MapColour, string][] = [
  ['outcome', 'Outcome'],
  ['maxRadius', 'Largest radius'],
  ['life', 'Time of collapse'],
]

const explanation =
  'What happens to the present drop when two of its inputs change. Each point is a whole life, computed with the quick mesh.'
const howToPoint = 'The circle marks the present drop. Point at the map, or move with the arrow keys.'
const ofEarlier = 'This map is of an earlier drop.'

/** A map with what it was made for. */
type Made = Omit<ShownMap, 'by'>

function select(label: string, options: readonly (readonly [string, string])[], changed: () => void) {
  const list = el('select', { 'aria-label': label, onchange: changed })
  for (const [value, text] of options) list.add(new Option(text, value))
  return list
}

class MapPanel implements View {
  private made: Made | null = null
  private frame: MapFrame | null = null
  private job: PlanJob<'map'> | null = null
  private readonly ask = oncePerFrame(() => this.draw())
  private readonly x = axisChoice('Across', 'drop.alcoholMassFraction', () => this.follow())
  private readonly y = axisChoice('Up', 'drop.volume_uL', () => this.follow())
  private readonly size = select(
    'Fineness',
    sizes.map(([text], i) => [String(i), text]),
    () => this.follow(),
  )
  private readonly colourBy = select('Colour the map by', colourings, () => this.ask())
  private readonly begin = el('button', { type: 'button', class: 'main' }, 'Work out the map')
  private readonly stop = el('button', { type: 'button', hidden: true }, 'Stop')
  private readonly bar = el('progress', {
    max: 1,
    value: 0,
    hidden: true,
    'aria-label': 'Lives run for the map',
  })
  private readonly says = el('p', { class: 'note', role: 'status' })
  private readonly picture = svg('svg', { 'aria-hidden': 'true', 'font-family': 'system-ui, sans-serif' })
  private readonly area = el('div', {
    class: 'map-area',
    tabindex: 0,
    role: 'application',
    hidden: true,
    'aria-label': 'Outcome map. Arrow keys move, Enter takes the drop of a point.',
  })
  private readonly pointed = el('p', { class: 'pointed', 'aria-live': 'polite' })
  private readonly legend = el('div', { class: 'map-legend' })
  private readonly holder: HTMLElement
  private readonly cursor = followPointing(this.area, {
    map: () => this.made?.map ?? null,
    frame: () => this.frame,
    moved: () => this.ask(),
    choose: () => this.choose(),
  })
  private readonly nearness: Nearness
  private readonly endings: (() => void)[]

  constructor(
    private readonly root: HTMLElement,
    private readonly store: Store,
  ) {
    this.size.value = '1'
    this.area.append(this.picture)
    this.holder = el('div', { class: 'plot-holder map-holder', hidden: true }, this.savingMenu(), this.area)
    this.layOut()
    this.begin.addEventListener('click', () => void this.work())
    this.stop.addEventListener('click', () => this.job?.stop())
    this.nearness = followNearness(root, this.ask)
    const resized = new ResizeObserver(this.ask)
    resized.observe(this.area)
    this.endings = [
      watch(
        store,
        (state) => [state.preset, state.dark],
        () => this.follow(),
      ),
      () => resized.disconnect(),
      () => this.nearness.destroy(),
      offerMapPart(store, () => this.made && { ...this.made, by: this.by() }),
      () => this.job?.stop(),
    ]
  }

  private savingMenu(): HTMLElement {
    return savingMenu(
      {
        name: () => fileName('rimtide-map', this.store.getState().preset.title),
        csv: () => (this.made ? mapCsv(this.made.map) : ''),
        svg: () => new XMLSerializer().serializeToString(this.picture),
      },
      'Outcome map',
    )
  }

  private layOut(): void {
    const form = el(
      'div',
      { class: 'form' },
      this.x.root,
      this.y.root,
      el('label', {}, 'Points', this.size),
      el('label', {}, 'Colour', this.colourBy),
    )
    this.root.append(
      el('h2', { id: 'map-title', tabindex: -1 }, 'Map'),
      el('p', {}, explanation),
      form,
      el('div', { class: 'buttons' }, this.begin, this.stop, this.bar),
      this.says,
      this.legend,
      this.holder,
      this.pointed,
    )
  }

  private by(): MapColour {
    return this.colourBy.value as MapColour
  }

  private wished(): MapWish {
    const [, nx, ny] = sizes[Number(this.size.value)]!
    return { x: this.x.axis(nx), y: this.y.axis(ny) }
  }

  private async work(): Promise<void> {
    const { preset } = this.store.getState()
    const wish = this.wished()
    const take = (map: OutcomeMap) => this.take({ map, wish, madeFor: withoutInputs(preset, wish) })
    for (const field of [...this.x.fields, ...this.y.fields]) field.complain('')
    this.working(true)
    this.says.textContent = ''
    this.job = askedClient().start('map', { preset, wish }, take)
    try {
      const answer = await this.job.result
      if (answer.ok) {
        take(answer.map)
        this.says.textContent = stoppedWords(answer.map)
      } else {
        for (const { where, message } of answer.problems) {
          const axis = where === 'x' ? this.x : this.y
          axis.fields[0]!.complain(message)
        }
      }
    } catch (error) {
      this.says.textContent = brokeOff(error)
    }
    this.job = null
    this.working(false)
    this.follow()
  }

  private working(on: boolean): void {
    const { begin, stop } = this
    const change = () => {
      begin.hidden = on
      stop.hidden = !on
    }
    keepFocus([begin, stop], change, () => (on ? stop : begin))
    this.bar.hidden = !on
  }

  private take(made: Made): void {
    this.made = made
    this.bar.value = made.map.done / made.map.total
    this.holder.hidden = false
    this.area.hidden = false
    partsChanged()
    this.ask()
  }

  /** Says when the map is not of the present drop or of the chosen axes. */
  private follow(): void {
    this.ask()
    if (!this.made || this.job) return
    const { madeFor, wish } = this.made
    const otherDrop = madeFor !== withoutInputs(this.store.getState().preset, wish)
    const otherAxes = JSON.stringify(this.wished()) !== JSON.stringify(wish)
    this.begin.textContent = otherDrop || otherAxes ? 'Work it out anew' : 'Work it out again'
    this.begin.classList.toggle('main', otherDrop || otherAxes)
    this.holder.classList.toggle('old', otherDrop)
    if (otherDrop) this.says.textContent = ofEarlier
    else if (this.says.textContent === ofEarlier) this.says.textContent = ''
  }

  private draw(): void {
    if (!this.made || !this.nearness.near) return
    const { width, height } = this.area.getBoundingClientRect()
    if (width < 60 || height < 60) return
    const { map } = this.made
    const cursor = this.cursor()
    this.frame = frameFor(map, width, height)
    this.drawPicture(this.made, this.frame)
    this.legend.replaceChildren(...mapLegend(map, this.by(), palette().panel))
    this.pointed.textContent = cursor
      ? `${pointWords(map, cursor.i, cursor.j)}. Click or Enter takes this drop.`
      : howToPoint
  }

  private drawPicture({ map, wish }: Made, frame: MapFrame): void {
    const { ink, faint, panel, accent } = palette()
    const { preset } = this.store.getState()
    const places = {
      x: keyValue(preset, wish.x.key) as number,
      y: keyValue(preset, wish.y.key) as number,
      cursor: this.cursor(),
    }
    const look = { by: this.by(), ink, faint, paper: panel, accent }
    this.picture.setAttribute('viewBox', `0 0 ${frame.width} ${frame.height}`)
    this.picture.replaceChildren(...drawMap(map, frame, look, places))
  }

  private choose(): void {
    const cursor = this.cursor()
    if (!this.made || !cursor) return
    const { map, wish } = this.made
    const result = setKeys(this.store.getState().preset, [
      [wish.x.key, Number(map.x[cursor.i]!.toPrecision(4))],
      [wish.y.key, Number(map.y[cursor.j]!.toPrecision(4))],
    ])
    if (result.ok) setPreset(this.store, result.preset)
    this.says.textContent = result.ok
      ? 'This point is the drop now. Undo brings the last one back.'
      : result.problems.map(({ message }) => message).join(' ')
  }

  destroy(): void {
    for (const end of this.endings) end()
    this.root.replaceChildren()
  }
}

const stoppedWords = ({ status, done, total }: OutcomeMap): string =>
  status === 'stopped' ? `Stopped after ${done} of ${total} lives.` : ''

export const createMap = (root: HTMLElement, store: Store): View => new MapPanel(root, store)
