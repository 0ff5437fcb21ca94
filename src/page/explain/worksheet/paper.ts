/** The worksheet on paper: as many A4 pages as it takes, always light; the answers on a sheet of their own. */
import { el } from '../../dom.ts'
import { coursePicture } from '../../sheet/paper.ts'
import type { Worksheet } from './worksheetData.ts'

/** Ruled lines to write on. */
const lines = (count: number): HTMLElement[] =>
  Array.from({ length: count }, () => el('div', { class: 'rule' }))

function head({ title, date, notice }: Worksheet, kind: string): HTMLElement[] {
  return [
    el(
      'header',
      {},
      el('h2', {}, `${kind}: ${title}`),
      el('p', { class: 'write-in' }, el('span', {}, 'Name'), el('span', {}, 'Class'), el('span', {}, 'Date')),
      el('p', { class: 'made' }, `Made with Rimtide, ${date}`),
    ),
    ...(notice ? [el('p', { class: 'unreal' }, notice)] : []),
  ]
}

function figures({ drop, life }: Worksheet): HTMLElement {
  const rows = drop.map(({ label, value }) => el('div', {}, el('dt', {}, label), el('dd', {}, value)))
  const source = `data:image/svg+xml,${encodeURIComponent(coursePicture(life, null))}`
  return el(
    'section',
    { class: 'drop' },
    el('div', {}, el('h3', {}, 'The drop'), el('dl', {}, ...rows)),
    el(
      'figure',
      {},
      el('figcaption', {}, 'Its radius against time, computed'),
      el('img', { src: source, alt: 'Radius against time, computed', width: 470, height: 302 }),
    ),
  )
}

const task = (title: string, text: string, more: string, room: number): HTMLElement =>
  el(
    'li',
    {},
    el('h4', {}, title),
    el('p', {}, text),
    ...(more ? [el('p', { class: 'more' }, more)] : []),
    ...lines(room),
  )

const section = (title: string, ...children: HTMLElement[]): HTMLElement =>
  el('section', {}, el('h3', {}, title), ...children)

const listOf = (texts: readonly string[]): HTMLElement =>
  el('ul', {}, ...texts.map((text) => el('li', {}, text)))

function answers(sheet: Worksheet): HTMLElement {
  const told = sheet.steps.filter(({ answer }) => answer)
  return el(
    'article',
    { class: 'answers' },
    el('h2', {}, `Answers: ${sheet.title}`),
    ...(sheet.notice ? [el('p', { class: 'unreal' }, sheet.notice)] : []),
    section('What this drop does', el('p', {}, sheet.sentence)),
    ...(told.length > 0
      ? [
          section(
            'Questions',
            el('ol', {}, ...told.map(({ title, answer = '' }) => task(title, answer, '', 0))),
          ),
        ]
      : []),
    section(
      'Hints to the exercises; the page checks an answer by running the drop',
      el('ol', {}, ...sheet.exercises.map(({ title, hints }) => task(title, hints.join(' '), '', 0))),
    ),
  )
}

/** Fills `root` with the sheet, and with the answers behind it where they are wanted. */
export function fillWorksheet(root: HTMLElement, sheet: Worksheet, withAnswers: boolean): void {
  const [foremost, ...cautions] = sheet.cautions
  root.replaceChildren(
    el(
      'article',
      {},
      ...head(sheet, 'Worksheet'),
      figures(sheet),
      section(
        'If you try it in the lab',
        el('p', { class: 'foremost' }, foremost?.text ?? ''),
        el(
          'dl',
          { class: 'cautions' },
          ...cautions.map(({ label, text }) =>
            el('div', label === 'TOXIC' ? { class: 'toxic' } : {}, el('dt', {}, label), el('dd', {}, text)),
          ),
        ),
      ),
      ...(sheet.steps.length > 0
        ? [
            section(
              'Questions',
              el('ol', {}, ...sheet.steps.map(({ title, question }) => task(title, question, '', 3))),
            ),
          ]
        : []),
      ...(sheet.exercises.length > 0
        ? [
            section(
              'Exercises',
              el('ol', {}, ...sheet.exercises.map((one) => task(one.title, one.task, one.begin, 3))),
            ),
          ]
        : []),
      ...(sheet.leftOut.length > 0 ? [section('Not with these liquids', listOf(sheet.leftOut))] : []),
      section('Where the numbers come from', listOf(sheet.sources)),
    ),
    ...(withAnswers ? [answers(sheet)] : []),
  )
}
