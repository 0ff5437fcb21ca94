/** Why does it happen? */

import type { Life } from '../../life/types.ts'
import { createAbout } from '../about.ts'
import { createExercises } from '../explain/exercises/view.ts'
import { createGlossary } from '../explain/glossaryView.ts'
import { createSteps } from '../explain/steps.ts'
import { storyOf } from '../explain/story.ts'
import { createWithout } from '../explain/without/view.ts'
import { createWorksheet } from '../explain/worksheet/view.ts'
import type { WorksheetStep } from '../explain/worksheet/worksheetData.ts'
import type { Store } from '../store.ts'
import { mount } from './mount.ts'

/** The questions of the steps on paper: what may be chosen from stands behind them. */
const questionsOf = (life: Life): WorksheetStep[] =>
  storyOf(life).steps.map(({ title, question, answer, text }) => ({
    title,
    question:
      question.kind === 'choice'
        ? `${question.text} ${question.options.map(({ text: option }, i) => `${'abcd'[i]}) ${option}`).join('  ')}`
        : question.kind === 'number'
          ? `${question.text} (${question.unit})`
          : `${question.text} (Sketch it.)`,
    answer: [answer, text].filter(Boolean).join(' '),
  }))

export function mountExplain(store: Store): void {
  mount('rim', store, createSteps)
  mount('without', store, createWithout)
  mount('tasks', store, createExercises)
  mount('worksheet', store, (root) => createWorksheet(root, store, questionsOf))
  mount('glossary', store, createGlossary)
  mount('about', store, createAbout)
}
