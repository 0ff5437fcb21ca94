/** What matters: which uncertain input the spread of the drop's numbers comes from, worked out over many lives. */

import type { Preset } from '../../life/types.ts'
import { outputOf } from '../../plan/outputs.ts'
import {
  livesOf,
  type OutputShares,
  type Sensitivity,
  USUAL_BASE,
  USUAL_OUTPUTS,
} from '../../plan/sensitivity.ts'
import {
  failedWords,
  leftWords,
  mattersMost,
  ranked,
  sharesTable,
  spreadWords,
} from '../../plan/sensitivityWords.ts'
import { tableCsv } from '../../plan/table.ts'
import { spreadsOf } from '../../plan/uncertain.ts'
import { el, oncePerFrame, svg } from '../dom.ts'
import { brokeOff } from '../lives/alive.ts'
import { withoutInput } from '../lives/neighbours.ts'
import { askedClient, type PlanJob } from '../lives/planClient.ts'
import { LongWork } from '../longWork.ts'
import { followNearness, type Nearness } from '../near.ts'
import { fileName, savingMenu } from '../plots/saving.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { headOf, inMillimetres } from '../plots/svgText.ts'
import { partsChanged } from '../report/parts.ts'
import { type Store, type View, watch } from '../store.ts'
import { tableView } from '../tableView.ts'
import { palette } from '../theme.ts'
import { drawShares, heightOf, lookOf, type SharesLook } from './drawing.ts'
import { offerSharesPart } from './reportPart.ts'

const explanation =
  'Each uncertain input of this drop is drawn from its width, all at once, over many lives (quick mesh). Alone: the part of the spread (variance) that would go if this input were known. With others: the part that would stay if all but this were known; it is larger where inputs act only together.'
const ofEarlier = 'This is of an earlier drop.'
const sizes: readonly number[] = [32, USUAL_BASE, 128, 256]

/** Width of a saved picture. */
const PAPER = 760

interface Made {
  so: Sensitivity
  /** Names the drop that it is of. */
  of: string
  title: string
}

/** The drop without its words: what the shares depend on. */
const nameOf = (preset: Preset): string => withoutInput(preset)

class MattersPanel implements View {
  private made: Made | null = null
  private job: PlanJob<'sensitivity'> | null = null
  private readonly ask = oncePerFrame(() => this.draw())
  private readonly output = el('select', { 'aria-label': 'Of', onchange: () => this.choose() })
  private readonly size = el('select', { 'aria-label': 'Lives' })
  private readonly controls = new LongWork('Work it out', 'Lives run', {
    begin: () => void this.work(),
    stop: () => this.job?.stop(),
  })
  private readonly says = el('p', { class: 'note', role: 'status' })
  private readonly widths = el('div', {})
  private readonly answer = el('p', { class: 'lead', 'aria-live': 'polite' })
  private readonly behind = el('p', { class: 'note' })
  private readonly picture = svg('svg', { role: 'img', 'font-family': 'system-ui, sans-serif' })
  private readonly area = el('div', { class: 'shares-area' }, this.picture)
  private readonly holder = el('div', { class: 'plot-holder shares-holder', hidden: true })
  private readonly table = el('div', {})
  private readonly nearness: Nearness
  private readonly endings: (() => void)[]

  constructor(
    private readonly root: HTMLElement,
    private readonly store: Store,
  ) {
    for (const id of USUAL_OUTPUTS) this.output.add(new Option(outputOf(id)!.label, id))
    this.layOut()
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
      () => this.job?.stop(),
      offerSharesPart(() => {
        const shares = this.shown()
        if (!this.made || !shares) return null
        return { so: this.made.so, shares, present: this.made.of === nameOf(store.getState().preset) }
      }),
    ]
    this.follow()
  }

  private layOut(): void {
    const menu = savingMenu(
      {
        name: () => fileName('rimtide-matters', this.output.value, this.made?.title ?? ''),
        csv: () => (this.made ? tableCsv(sharesTable(this.made.so)) : ''),
        svg: () => this.paper(),
      },
      'What matters',
    )
    this.holder.append(menu, this.area)
    this.root.append(
      el('h2', { id: 'matters-title', tabindex: -1 }, 'What matters'),
      el('p', {}, explanation),
      el('div', { class: 'form' }, el('label', {}, 'Of', this.output), el('label', {}, 'Lives', this.size)),
      this.controls.root,
      this.says,
      this.answer,
      this.holder,
      this.behind,
      this.table,
      this.widths,
    )
  }

  private async work(): Promise<void> {
    const { preset } = this.store.getState()
    const of = nameOf(preset)
    const take = (so: Sensitivity) => this.take({ so, of, title: preset.title })
    const wanted = sizes[this.size.selectedIndex] ?? USUAL_BASE
    this.working(true)
    this.says.textContent = ''
    this.job = askedClient().start('sensitivity', { preset, base: wanted }, take)
    try {
      const so = await this.job.result
      take(so)
      this.says.textContent =
        so.status === 'stopped'
          ? `Stopped after ${so.lives} of ${livesOf(so.inputs.length, so.base)} lives.`
          : ''
    } catch (error) {
      this.says.textContent = brokeOff(error)
    }
    this.job = null
    this.working(false)
    this.follow()
  }

  private working(on: boolean): void {
    this.controls.going(on)
    this.answer.setAttribute('aria-live', on ? 'off' : 'polite')
  }

  private take(made: Made): void {
    this.made = made
    partsChanged()
    this.controls.done = made.so.lives / livesOf(made.so.inputs.length, made.so.base)
    this.ask()
  }

  /** The inputs are those of the present drop; what is shown may be of an earlier one. */
  private follow(): void {
    const { preset } = this.store.getState()
    const { acting, left } = spreadsOf(preset)
    const chosen = this.size.selectedIndex
    this.size.replaceChildren(
      ...sizes.map(
        (base) => new Option(String(livesOf(acting.length, base)).replace(/(?=\d{3}$)/, ' '), String(base)),
      ),
    )
    this.size.selectedIndex = chosen < 0 ? 1 : chosen
    const open = this.widths.querySelector('details')?.open ?? false
    const list = [
      ...acting.map(({ input, width }) => `${input.label}: ${input.amount(width)} (${input.basis(preset)})`),
      ...left.map(({ label, reason }) => `${label}: left out, ${reason}`),
    ]
    const details = el(
      'details',
      {},
      el('summary', {}, `How far each input is known (${acting.length})`),
      el(
        'p',
        {},
        'Half-widths are one standard deviation of a normal distribution, × and ÷ of one in the logarithm.',
      ),
      el('ul', { class: 'prose' }, ...list.map((text) => el('li', {}, text))),
    )
    details.open = open
    this.widths.replaceChildren(details)
    this.ask()
    if (!this.made || this.job) return
    const old = this.made.of !== nameOf(preset)
    this.controls.offer(old ? 'Work it out anew' : 'Work it out again', old)
    this.holder.classList.toggle('old', old)
    if (old) this.says.textContent = ofEarlier
    else if (this.says.textContent === ofEarlier) this.says.textContent = ''
  }

  private choose(): void {
    partsChanged()
    this.ask()
  }

  private shown(): OutputShares | undefined {
    return this.made?.so.outputs.find(({ id }) => id === this.output.value)
  }

  private draw(): void {
    const shares = this.shown()
    if (!this.made || !shares || !this.nearness.near) return
    const { so } = this.made
    const rows = ranked(so, shares)
    this.answer.textContent =
      so.status === 'growing' && rows.length === 0
        ? 'Not enough lives yet.'
        : mattersMost(so, shares).replaceAll(' %', '\u00a0%')
    this.holder.hidden = rows.length === 0
    const lacking =
      shares.left > 0 ? `${shares.left} base points hold lives without it and are left out.` : ''
    const from = `From ${so.lives} lives: ${spreadWords(shares)}.`
    this.behind.textContent = [rows.length > 0 ? from : '', lacking, failedWords(so), leftWords(so)]
      .filter(Boolean)
      .join(' ')
    const open = this.table.querySelector('details')?.open ?? false
    const details = el(
      'details',
      {},
      el('summary', {}, 'The numbers'),
      tableView(sharesTable(so, [shares]), 'rimtide-matters'),
    )
    details.open = open
    this.table.replaceChildren(...(rows.length > 0 ? [details] : []))
    const { width } = this.area.getBoundingClientRect()
    if (rows.length === 0 || width < 60) return
    this.paint(this.picture, width, lookOf(palette(), this.store.getState().dark))
    this.picture.setAttribute('aria-label', mattersMost(so, shares))
  }

  private paint(picture: SVGElement, width: number, look: SharesLook): void {
    const rows = ranked(this.made!.so, this.shown()!)
    const height = heightOf(rows, width)
    picture.setAttribute('viewBox', `0 0 ${width} ${height}`)
    picture.setAttribute('width', String(width))
    picture.setAttribute('height', String(height))
    picture.replaceChildren(...drawShares(rows, width, look))
  }

  /** On white, as wide as a page takes, with its sentence. */
  private paper(): string {
    const shares = this.shown()!
    const { so, title } = this.made!
    const rows = ranked(so, shares)
    const { ink, panel } = paperColours
    const subtitle = [title, mattersMost(so, shares), `From ${so.lives} lives.`].filter(Boolean).join(' · ')
    const head = headOf({ title: `What matters: ${shares.label}`, subtitle }, PAPER)
    const height = head.height + heightOf(rows, PAPER)
    const picture = svg('g', {}, ...drawShares(rows, PAPER, lookOf(paperColours, false)))
    const inside = new XMLSerializer().serializeToString(picture)
    const size = `width="${inMillimetres(PAPER)}" height="${inMillimetres(height)}" viewBox="0 0 ${PAPER} ${height}"`
    return (
      `<svg xmlns="http://www.w3.org/2000/svg" ${size} font-family="system-ui, sans-serif" font-size="13" fill="${ink}">` +
      `<rect width="100%" height="100%" fill="${panel}"/>${head.text}<g transform="translate(0 ${head.height})">${inside}</g></svg>`
    )
  }

  destroy(): void {
    for (const end of this.endings) end()
    this.root.replaceChildren()
  }
}

export const createMatters = (root: HTMLElement, store: Store): View => new MattersPanel(root, store)
