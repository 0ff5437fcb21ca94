/** The interval of one unknown by its profile: a button for each, progress, stop, and what came out. */
import type { Profile } from '../../measured/fit/profile.ts'
import type { FitWish, LifeFit } from '../../measured/fit/types.ts'
import { numberText, profileText } from '../../measured/fit/words.ts'
import { el, keepFocus } from '../dom.ts'
import { brokeOff } from '../lives/alive.ts'
import type { PlanClient, PlanJob } from '../lives/planClient.ts'
import { shownProfile } from './fitViews.ts'

export interface Profiles {
  root: HTMLElement
  /** Another fit, or none. */
  show(of: { wish: FitWish; fit: LifeFit } | null): void
  /** What was found for the fit that is shown. */
  found(): readonly Profile[]
  stop(): void
}

/** The values that were tried, as a table. */
function triedTable({ points, unit, label }: Profile): HTMLElement {
  const rows = points.map(({ value, rise }) =>
    el('tr', {}, el('td', {}, `${numberText(value)} ${unit}`.trimEnd()), el('td', {}, rise.toFixed(2))),
  )
  const head = [label, 'χ² above its least'].map((text) => el('th', { scope: 'col' }, text))
  return el(
    'table',
    { class: 'figures-table numbers' },
    el('thead', {}, el('tr', {}, ...head)),
    el('tbody', {}, ...rows),
  )
}

export function createProfiles(client: PlanClient, changed: () => void): Profiles {
  const buttons = el('div', { class: 'buttons' })
  const stop = el('button', { type: 'button', hidden: true }, 'Stop')
  const says = el('p', { class: 'note', role: 'status' })
  const list = el('div', { class: 'fit-group' })
  const root = el(
    'div',
    { class: 'fit-group', hidden: true },
    el('h3', {}, 'How far can one unknown go?'),
    el(
      'p',
      { class: 'note' },
      'It is moved to either side, all others following, until χ² has risen by 1: an interval as lopsided as the points make it, where ± 1 σ supposes a symmetric one. Priors, shared errors and conditions are in it.',
    ),
    el('div', { class: 'buttons' }, buttons, stop),
    says,
    list,
  )
  let of: { wish: FitWish; fit: LifeFit } | null = null
  let job: PlanJob<'profile'> | null = null
  let made: Profile[] = []

  function draw(): void {
    list.replaceChildren(
      ...made.map((profile) => {
        const shown = shownProfile(profile)
        return el(
          'div',
          { class: 'fit-group' },
          el('p', { class: 'fit-profile' }, profileText(shown)),
          el('details', {}, el('summary', {}, 'Values tried'), triedTable(shown)),
        )
      }),
    )
  }

  async function walk(unknown: number, button: HTMLElement): Promise<void> {
    if (!of || job) return
    const mine = of
    keepFocus(
      [...buttons.querySelectorAll('button'), stop],
      () => working(true),
      () => stop,
    )
    says.textContent = 'Starting …'
    job = client.start('profile', { wish: mine.wish, fit: mine.fit, unknown }, ({ points, lives }) => {
      if (of === mine) says.textContent = `${points.length} values tried, ${lives} lives.`
    })
    try {
      const outcome = await job.result
      if (of === mine && outcome.ok) {
        const { profile } = outcome
        made = [
          ...made.filter(({ path, curve }) => path !== profile.path || curve !== profile.curve),
          profile,
        ]
        says.textContent = profile.stopped
          ? 'Stopped: what was found so far.'
          : `Done: ${profile.lives} lives.`
      } else if (of === mine && !outcome.ok) {
        says.textContent = outcome.problems.map(({ message }) => message).join(' ')
      }
    } catch (error) {
      says.textContent = brokeOff(error, 'The walk')
    }
    job = null
    keepFocus(
      [stop],
      () => working(false),
      () => button,
    )
    draw()
    changed()
  }

  function working(on: boolean): void {
    for (const button of buttons.querySelectorAll('button')) button.disabled = on
    stop.hidden = !on
    root.dataset.profile = on ? 'working' : 'done'
  }

  stop.addEventListener('click', () => job?.stop())
  return {
    root,
    found: () => made,
    stop: () => job?.stop(),
    show(next) {
      if (next?.fit === of?.fit) return
      job?.stop()
      of = next
      made = []
      says.textContent = ''
      const determined = next?.fit.unknowns
        .map((one, i) => ({ one, i }))
        .filter(({ one }) => one.verdict === 'determined')
      root.hidden = !determined?.length
      buttons.replaceChildren(
        ...(determined ?? []).map(({ one, i }) => {
          const button = el('button', { type: 'button', 'data-profile': one.path }, one.label)
          button.addEventListener('click', () => void walk(i, button))
          return button
        }),
      )
      draw()
    },
  }
}
