/** Map: what becomes of the drop over two inputs; a point that is chosen becomes the drop. */
import { setKeys } from '../../life/preset.ts'
import type { OutcomeMap } from '../../plan/mapGrid.ts'
import { mapCsv, mapParquet } from '../../plan/mapTable.ts'
import { setPreset } from '../actions.ts'
import { el } from '../dom.ts'
import { brokeOff } from '../lives/alive.ts'
import { askedClient, type PlanJob } from '../lives/planClient.ts'
import { LongWork } from '../longWork.ts'
import { fileName, savingMenu } from '../plots/saving.ts'
import { partsChanged } from '../report/parts.ts'
import { type Store, type View, watch } from '../store.ts'
import { runWords, withoutInputs } from './mapData.ts'
import { mapForm } from './mapForm.ts'
import { MapKeeping } from './mapKeeping.ts'
import { MapPicture } from './mapPicture.ts'
import { type Made, type MapStep, stepFor } from './mapSteps.ts'
import type { MapCell } from './pointing.ts'
import { hereOf, offerMapPart, type ShownMap, shownFigure } from './reportPart.ts'

const explanation =
  'What happens to the present drop when two of its inputs change. Each point is a whole life, computed with the quick mesh. Unless every point is to be run, a coarse grid comes first, and then only points where the outcome or the colour changes.'

class MapPanel implements View {
  private made: Made | null = null
  private job: PlanJob<'map'> | null = null
  /** What is to be told until something is changed. */
  private message = ''
  private readonly form = mapForm(
    () => this.changed(),
    () => this.relook(),
  )
  private readonly controls = new LongWork('Work out the map', 'Part of the map that is done', {
    begin: () => void this.work(),
    stop: () => this.job?.stop(),
  })
  private readonly says = el('p', { class: 'note', role: 'status' })
  private readonly holder: HTMLElement
  private readonly picture: MapPicture
  private readonly keeping: MapKeeping
  private readonly endings: (() => void)[]

  constructor(
    private readonly root: HTMLElement,
    private readonly store: Store,
  ) {
    this.picture = new MapPicture(root, {
      made: () => this.made,
      by: () => this.form.by(),
      look: () => ({ lines: this.form.lines(), dots: this.form.dots() }),
      dark: () => store.getState().dark,
      here: (made) => hereOf(store.getState(), made),
      choose: (cell) => this.choose(cell),
    })
    this.holder = el(
      'div',
      { class: 'plot-holder map-holder', hidden: true },
      this.savingMenu(),
      this.picture.area,
    )
    this.layOut()
    this.keeping = new MapKeeping(() => this.changed())
    this.endings = [
      watch(
        store,
        (state) => [state.preset, state.dark],
        () => this.changed(),
      ),
      () => this.picture.destroy(),
      offerMapPart(store, () => this.shown()),
      () => this.job?.stop(),
    ]
  }

  private savingMenu(): HTMLElement {
    return savingMenu(
      {
        name: () => fileName('rimtide-map', this.store.getState().preset.title),
        csv: () => (this.made ? mapCsv(this.made.map) : ''),
        parquet: () => mapParquet(this.made!.map),
        svg: () => shownFigure(this.shown()!, this.store.getState()),
      },
      'Outcome map',
    )
  }

  private layOut(): void {
    this.root.append(
      el('h2', { id: 'map-title', tabindex: -1 }, 'Map'),
      el('p', {}, explanation),
      this.form.root,
      this.controls.root,
      this.says,
      this.picture.legend,
      el('div', { class: 'map-shown' }, this.holder, this.picture.told),
    )
  }

  private shown(): ShownMap | null {
    const { form, made } = this
    return made && { ...made, by: form.by(), lines: form.lines(), dots: form.dots() }
  }

  /** Names the present drop without the inputs of a map. */
  private nowFor({ wish }: Pick<Made, 'wish'>): string {
    return withoutInputs(this.store.getState().preset, wish)
  }

  private step(): MapStep {
    return stepFor(this.made, this.made ? this.nowFor(this.made) : '', this.form.wish())
  }

  private async work(): Promise<void> {
    const { preset } = this.store.getState()
    const wish = this.form.wish()
    const known = this.step().keeps ? this.made?.map : undefined
    const madeFor = withoutInputs(preset, wish)
    const take = (map: OutcomeMap) => this.take({ map, wish, madeFor })
    this.form.complain()
    this.message = ''
    this.says.textContent = ''
    this.controls.going(true)
    this.job = askedClient().start('map', { preset, wish, known }, take)
    try {
      const answer = await this.job.result
      if (answer.ok) take(answer.map)
      else for (const { where, message } of answer.problems) this.form.complain(where, message)
    } catch (error) {
      this.message = brokeOff(error)
      // What had come by then is kept, and can be gone on with.
      if (this.made?.map.status === 'growing') this.made.map.status = 'stopped'
    }
    this.job = null
    this.controls.going(false)
    this.follow()
  }

  private take(made: Made): void {
    this.made = made
    this.controls.done = made.map.share
    this.keeping.note(made, this.form.by())
    this.showMap()
  }

  private showMap(): void {
    this.holder.hidden = this.made === null
    partsChanged()
    this.picture.show()
  }

  /** Another drop, or another map that is asked for. */
  private changed(): void {
    this.message = ''
    if (!this.made && !this.job) this.takeKept()
    this.follow()
  }

  private takeKept(): void {
    const kept = this.keeping.take((made) => this.nowFor(made))
    if (!kept) return
    this.made = kept
    this.form.show(kept.wish, kept.by)
    this.showMap()
  }

  /** Only what is shown of the map is another. */
  private relook(): void {
    if (this.made && !this.job) this.keeping.note(this.made, this.form.by())
    partsChanged()
    this.picture.show()
  }

  /** Says what the button does next, and why. */
  private follow(): void {
    this.picture.show()
    if (this.job) return
    const { label, main, says } = this.step()
    this.controls.offer(label, main)
    const { made } = this
    this.holder.classList.toggle('old', made !== null && made.madeFor !== this.nowFor(made))
    const words = [this.message || says || (made ? runWords(made.map) : '')]
    if (this.says.textContent !== words.join(' ')) this.says.textContent = words.join(' ')
  }

  private choose({ i, j }: MapCell): void {
    if (!this.made) return
    const { map, wish } = this.made
    const result = setKeys(this.store.getState().preset, [
      [wish.x.key, Number(map.x[i]!.toPrecision(4))],
      [wish.y.key, Number(map.y[j]!.toPrecision(4))],
    ])
    if (result.ok) setPreset(this.store, result.preset)
    this.message = result.ok
      ? 'This point is the drop now. Undo brings the last one back.'
      : result.problems.map(({ message }) => message).join(' ')
    this.follow()
  }

  destroy(): void {
    for (const end of this.endings) end()
    this.root.replaceChildren()
  }
}

export const createMap = (root: HTMLElement, store: Store): View => new MapPanel(root, store)
