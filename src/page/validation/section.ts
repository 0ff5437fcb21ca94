/** "How right is it?": the same findings as `npm run -s validate`, worked out when it is opened. */
import './validation.css'
import { type Finding, VERDICTS, type Verdict } from '../../plan/validation/types.ts'
import type { Validation } from '../../plan/validation/validate.ts'
import { HEADINGS, HOW_JUDGED, summaryWords } from '../../plan/validation/verdictWords.ts'
import { el, keepFocus } from '../dom.ts'
import { brokeOff } from '../lives/alive.ts'
import { createPlanClient, type PlanClient, type PlanJob } from '../lives/planClient.ts'

const term = (label: string, text: string): HTMLElement[] => [el('dt', {}, label), el('dd', {}, text)]

const item = ({ fact, program, tolerance, source }: Finding): HTMLElement =>
  el(
    'li',
    {},
    el('p', { class: 'fact' }, fact),
    el('dl', {}, ...term('Program', program), ...term('Judged', tolerance), ...term('Source', source)),
  )

/** Findings of one verdict; what agrees is folded, for it is the longest. */
function group(verdict: Verdict, findings: readonly Finding[]): HTMLElement {
  return el(
    'details',
    { class: 'verdict', 'data-verdict': verdict, open: verdict !== 'agrees' },
    el('summary', {}, `${HEADINGS[verdict]} (${findings.length})`),
    el('ol', {}, ...findings.map(item)),
  )
}

const groups = (findings: readonly Finding[]): HTMLElement[] =>
  VERDICTS.map((verdict) => [verdict, findings.filter((one) => one.verdict === verdict)] as const)
    .filter(([, some]) => some.length > 0)
    .map(([verdict, some]) => group(verdict, some))

export interface ValidationSection {
  root: HTMLElement
  destroy(): void
}

/** The folded section; a worker of its own lives while it is worked out, so that nothing else waits for it. */
export function createValidation(): ValidationSection {
  const bar = el('progress', { max: 1, value: 0, 'aria-label': 'Facts compared with the program' })
  const stop = el('button', { type: 'button', hidden: true }, 'Stop')
  const again = el('button', { type: 'button', hidden: true }, 'Work it out')
  const says = el('p', { role: 'status' })
  const found = el('div', {
    class: 'found',
    tabindex: 0,
    role: 'region',
    'aria-label': 'Facts by verdict',
    hidden: true,
  })
  const work = el('div', { class: 'buttons' }, stop, again, bar)
  const summary = el('summary', {}, 'How right is it?')
  const root = el(
    'details',
    { class: 'validation' },
    summary,
    el(
      'p',
      {},
      'Known facts about the experiment and its liquids, compared with what this program says. Disagreements come first.',
    ),
    el('p', { class: 'note' }, `${HOW_JUDGED} The command line has the same list: npm run -s validate.`),
    work,
    says,
    found,
  )
  let client: PlanClient | null = null
  let job: PlanJob<'validation'> | null = null
  let known = false

  function working(on: boolean): void {
    keepFocus(
      [stop, again],
      () => {
        stop.hidden = !on
        again.hidden = on || known
        bar.hidden = !on
        work.hidden = !on && known
      },
      () => (on ? stop : known ? summary : again),
    )
  }

  function show(made: Validation): void {
    known = made.status === 'done'
    const failed = made.failures.length > 0 ? ` Lives failed: ${made.failures.join(' ')}` : ''
    says.textContent = `${summaryWords(made)}${failed}`
    found.replaceChildren(...groups(made.findings))
    found.hidden = made.findings.length === 0
  }

  async function begin(): Promise<void> {
    client ??= createPlanClient()
    bar.value = 0
    says.textContent = 'Computing the lives and problems that the facts are about.'
    job = client.start('validation', {}, ({ done, total }) => {
      bar.value = done / total
    })
    working(true)
    try {
      show(await job.result)
    } catch (error) {
      says.textContent = brokeOff(error)
    }
    job = null
    client?.destroy()
    client = null
    working(false)
  }

  root.addEventListener('toggle', () => {
    // What was stopped is begun again by its button only.
    if (root.open && !job && says.textContent === '') void begin()
  })
  again.addEventListener('click', () => void begin())
  stop.addEventListener('click', () => job?.stop())
  return {
    root,
    destroy() {
      job?.stop()
      client?.destroy()
      client = null
      root.remove()
    },
  }
}
