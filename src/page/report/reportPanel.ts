/** Report: figures and words of the user's choice as one page that can be saved and printed. */
import { offNotice } from '../../life/mechanisms.ts'
import './report.css'
import { tableCsv } from '../../plan/table.ts'
import { el } from '../dom.ts'
import { followNearness } from '../near.ts'
import { fileName, type Offer, offerFile, savingMenu } from '../plots/saving.ts'
import type { State, Store, View } from '../store.ts'
import { momentsIn, type ReportChoice, rememberChoice, rememberedChoice } from './choice.ts'
import { contentOf, lifeOf, plainTitle } from './compose.ts'
import { reportHtml } from './document.ts'
import { createForm } from './form.ts'
import { offerOwnParts } from './ownParts.ts'
import { offeredParts, type ReportFigure, watchParts } from './parts.ts'
import { titledSvg } from './titled.ts'

/** Rest before the preview is renewed, ms. */
const rest = 400

/** Everything in the state that a report shows. */
const shows = [
  'life',
  'stale',
  'neighbours',
  'ownLives',
  'pins',
  'measured',
  'hidden',
  'grouped',
  'time',
  'cursorRadius',
  'logHeight',
  'bottle',
  'timeSpan',
  'radialSpan',
] as const satisfies readonly (keyof State)[]

interface Composed {
  html: string
  figures: ReportFigure[]
}

export function createReport(root: HTMLElement, store: Store): View {
  const endParts = offerOwnParts(store)
  let choice: ReportChoice = rememberedChoice()
  let timer = 0
  let made: Composed | null = null
  let listed = ''
  const form = createForm(choice, (change) => {
    choice = { ...choice, ...change }
    rememberChoice(choice)
    later()
  })
  const save = el('button', { type: 'button', class: 'main' }, 'Save the report (HTML)')
  const print = el('button', { type: 'button' }, 'Print the report')
  const says = el('p', { class: 'note', role: 'status' })
  const singles = el('ul', { class: 'list report-figures' })
  const singlesTitle = el('h3', {}, 'Figures and tables one by one')
  const frame = el('iframe', {
    class: 'report-preview',
    title: 'Preview of the report',
    sandbox: 'allow-same-origin allow-modals',
  })
  root.append(
    el('h2', { id: 'report-title', tabindex: -1 }, 'Report'),
    el(
      'p',
      {},
      'One page with the figures that you choose, every setting, where its numbers come from, and what the model leaves out. It is saved as one file that needs no network, and nothing leaves this machine.',
    ),
    form.root,
    el('div', { class: 'buttons' }, save, print),
    says,
    el('div', { class: 'report-made' }, frame, el('div', {}, singlesTitle, singles)),
  )

  const isChosen = (id: string, first: boolean) => choice.chosen[id] ?? first

  /** The moments of the section; those typed wrongly are told at their field. */
  function timesOf(state: State): number[] {
    const end = lifeOf(state)?.series.t.at(-1) ?? 0
    const moments = momentsIn(choice.moments, end, state.time)
    form.complain(moments.ok || lifeOf(state) === null ? '' : moments.message)
    return moments.ok ? moments.times : [Math.min(state.time, end)]
  }

  function compose(): Composed | null {
    const state = store.getState()
    const times = timesOf(state)
    const figures = offeredParts()
      .filter(({ id, first, lacks }) => isChosen(id, first) && lacks() === '')
      .flatMap((part) => part.make({ times }))
    const content = contentOf(state, choice, figures, isChosen)
    return content && { html: reportHtml(content), figures: [content.result!.figure, ...figures] }
  }

  /** What can be saved of figure k; it is of the newest composition when it is asked for. */
  function single(k: number): HTMLElement {
    const now = () => made!.figures[k]!
    const drop = () => store.getState().preset.title
    const { title, svg, csv, table } = now()
    const line = (words: string, offer: Omit<Offer, 'name'>) =>
      el(
        'span',
        { class: 'report-single' },
        el('span', {}, words),
        savingMenu({ name: () => fileName('rimtide', words, drop()), ...offer }, words),
      )
    const notice = () => offNotice(store.getState().preset)
    const head = () => (notice() ? `# ${notice()}\n` : '')
    const picture = svg ? { svg: () => titledSvg(now(), drop(), notice()) } : {}
    const data = csv === undefined ? {} : { csv: () => head() + now().csv! }
    const ownLine = svg || csv !== undefined ? [line(title, { ...picture, ...data })] : []
    const tableLine = table
      ? [line(`Table: ${table.title}`, { csv: () => head() + tableCsv(now().table!) })]
      : []
    return el('li', {}, ...ownLine, ...tableLine)
  }

  /** The list stays as it is while it names the same things, so that an open menu stays open. */
  function showSingles(figures: readonly ReportFigure[]): void {
    const names = figures.map(
      ({ title, svg, csv, table }) => `${title} ${!!svg} ${csv === undefined} ${table?.title}`,
    )
    singlesTitle.hidden = figures.length === 0
    if (listed === names.join('|')) return
    listed = names.join('|')
    singles.replaceChildren(...figures.map((_, k) => single(k)))
  }

  function draw(): void {
    const state = store.getState()
    form.showParts(offeredParts(), isChosen)
    form.suggestTitle(plainTitle(state))
    made = compose()
    save.disabled = made === null
    print.disabled = made === null
    frame.hidden = made === null
    says.textContent = made ? '' : 'The life of this drop is still being worked out.'
    showSingles(made?.figures ?? [])
    if (made && frame.srcdoc !== made.html) frame.srcdoc = made.html
  }

  function later(): void {
    clearTimeout(timer)
    timer = window.setTimeout(() => {
      if (nearness.near) draw()
    }, rest)
  }

  save.addEventListener('click', () => {
    const now = compose()
    if (!now) return
    const name = `${fileName('rimtide-report', choice.title || store.getState().preset.title)}.html`
    offerFile(name, new Blob([now.html], { type: 'text/html' }))
    says.textContent = `Saved as ${name}.`
  })
  print.addEventListener('click', () => {
    draw()
    frame.contentWindow?.print()
  })
  const nearness = followNearness(root, later)
  const endWatch = watchParts(later)
  const unsubscribe = store.subscribe((state, before) => {
    if (shows.some((name) => state[name] !== before[name])) later()
  })
  return {
    destroy() {
      clearTimeout(timer)
      unsubscribe()
      endWatch()
      endParts()
      nearness.destroy()
      root.replaceChildren()
    },
  }
}
