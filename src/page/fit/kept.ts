/** Results that are kept, ranked beside one another. */
import { compareFits } from '../../measured/fit/hypotheses.ts'
import type { LifeFit } from '../../measured/fit/types.ts'
import { numberText, unknownText } from '../../measured/fit/words.ts'
import type { Ranked } from '../../numerics/statistics.ts'
import { el } from '../dom.ts'
import type { KeptFit } from './fitShelf.ts'
import { keptName, shownUnknown } from './fitViews.ts'

export interface Kept {
  root: HTMLElement
  /** Keeps a fit; the same one is not kept twice. */
  keep(fit: LifeFit): void
  has(fit: LifeFit): boolean
  /** What is kept, and how many ever were. */
  all(): { kept: readonly KeptFit[]; made: number }
  /** Puts back what an earlier visit kept, before what has been kept since. */
  restore(before: { kept: readonly KeptFit[]; made: number }): void
}

/** Kept results that are of the same points as another one, group by group. */
function groupsOf(kept: readonly KeptFit[]): KeptFit[][] {
  const groups = new Map<string, KeptFit[]>()
  for (const one of kept) {
    const of = `${one.fit.data} ${one.fit.weights}`
    groups.set(of, [...(groups.get(of) ?? []), one])
  }
  return [...groups.values()]
}

export function createKept(changed: () => void): Kept {
  const list = el('div', { class: 'fit-kept' })
  const root = el(
    'div',
    { class: 'fit-kept', hidden: true },
    el('h3', {}, 'Kept results'),
    el(
      'p',
      { class: 'note' },
      'Ranked by Akaike’s criterion with the correction for few points (AICc): smaller is better, and every unknown has its price.',
    ),
    list,
  )
  let kept: KeptFit[] = []
  let made = 0

  function row({ name, fit }: KeptFit, ranked: Ranked | undefined): HTMLElement {
    const values = fit.unknowns
      .map((unknown) => `${unknown.label} ${unknownText(shownUnknown(unknown))}`)
      .join(', ')
    const remove = () => {
      kept = kept.filter((one) => one.fit !== fit)
      draw()
      changed()
    }
    const figures = ranked
      ? [
          numberText(ranked.aicc, 4),
          numberText(ranked.difference, 3),
          ranked.weight < 1e-3 ? 'below 0.1 %' : `${numberText(100 * ranked.weight, 2)} %`,
        ]
      : ['–', '–', '–']
    return el(
      'tr',
      {},
      el('th', { scope: 'row' }, name),
      ...figures.map((text) => el('td', {}, text)),
      el('td', { class: 'fit-notes' }, values),
      el(
        'td',
        {},
        el('button', { type: 'button', 'aria-label': `Remove ${name}`, onclick: remove }, 'Remove'),
      ),
    )
  }

  function group(members: readonly KeptFit[], many: boolean): HTMLElement {
    const compared = compareFits(members)
    const ranked = compared.ok ? compared.ranked : []
    const rank = (name: string) => ranked.findIndex((one) => one.name === name)
    const sorted = [...members].sort((a, b) => rank(a.name) - rank(b.name))
    const names = ['Fit', 'AICc', 'Difference', 'Weight', 'Values']
    const head = [...names.map((text) => el('th', { scope: 'col' }, text)), el('td')]
    const body = sorted.map((one) =>
      row(
        one,
        ranked.find(({ name }) => name === one.name),
      ),
    )
    const words = compared.ok ? compared.words : 'Keep a second fit of the same points to compare them.'
    const label = `Kept results of ${members[0]!.fit.points} points`
    return el(
      'div',
      { class: 'fit-group' },
      ...(many
        ? [el('p', { class: 'note' }, `${label}; only fits of the same points can be compared.`)]
        : []),
      el(
        'div',
        { class: 'scrolling', tabindex: 0, role: 'region', 'aria-label': label },
        el(
          'table',
          { class: 'figures-table numbers' },
          el('thead', {}, el('tr', {}, ...head)),
          el('tbody', {}, ...body),
        ),
      ),
      el('p', {}, words),
    )
  }

  function draw(): void {
    root.hidden = kept.length === 0
    const groups = groupsOf(kept)
    list.replaceChildren(...groups.map((members) => group(members, groups.length > 1)))
  }

  return {
    root,
    all: () => ({ kept, made }),
    restore(before) {
      kept = [...before.kept, ...kept]
      made = Math.max(made, before.made)
      draw()
    },
    has: (fit) => kept.some((one) => one.fit === fit),
    keep(fit) {
      if (kept.some((one) => one.fit === fit)) return
      kept = [...kept, { name: keptName(made++, fit), fit }]
      draw()
      changed()
    },
  }
}
