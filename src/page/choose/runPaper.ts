/** The plan of runs on paper: cautions, how to mix, the runs in random order with boxes to fill in. */
import { offNotice } from '../../life/mechanisms.ts'
import type { Preset } from '../../life/types.ts'
import { type Bottle, commonWords, mixingLines, planCautions, planTable } from '../../plan/choose/runPlan.ts'
import type { Choice } from '../../plan/choose/types.ts'
import { headText } from '../../plan/table.ts'
import { el } from '../dom.ts'
import { today } from '../format.ts'

const lines = (texts: readonly string[]): HTMLElement =>
  el('ul', {}, ...texts.map((text) => el('li', {}, text)))

/** Fills `root`. Always light: it is meant for paper. */
export function fillRunPaper(root: HTMLElement, choice: Choice, preset: Preset, bottle: Bottle): void {
  const { columns, rows, title } = planTable(choice, preset)
  const notice = offNotice(preset)
  const cautions = planCautions(preset)
  root.replaceChildren(
    el('h2', {}, `Plan of runs: ${preset.title || 'drops'}`.slice(0, 140)),
    el('p', {}, `Made with Rimtide, ${today()}. Name, date:`),
    ...(notice ? [el('p', { class: 'unreal' }, notice)] : []),
    el('p', { class: 'foremost' }, 'Local rules and the person responsible for the room come first.'),
    ...(cautions.length > 0 ? [el('h3', {}, 'Cautions'), lines(cautions)] : []),
    el('h3', {}, 'Mixtures'),
    lines(mixingLines(choice, preset, bottle)),
    el('h3', {}, title),
    el('p', {}, commonWords(choice, preset)),
    el(
      'table',
      {},
      el('thead', {}, el('tr', {}, ...columns.map((one) => el('th', { scope: 'col' }, headText(one))))),
      el('tbody', {}, ...rows.map((row) => el('tr', {}, ...row.map((cell) => el('td', {}, String(cell)))))),
    ),
  )
}
