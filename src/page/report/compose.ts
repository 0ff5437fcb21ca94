/** What a report says about the present state. */
import { offNotice } from '../../life/mechanisms.ts'
import type { Life } from '../../life/types.ts'
import { LIMITS } from '../../plan/limits.ts'
import { leftOutWords, measuredTable } from '../../plan/measuredTables.ts'
import { errorsTable, type LifeUncertainty, resultTable } from '../../plan/reportTables.ts'
import { cautionRows } from '../../plan/sheet/cautions.ts'
import { percentOf } from '../../plan/threshold.ts'
import { sentenceOf } from '../sentence/sentence.ts'
import { type State, shownCurves } from '../store.ts'
import { resultPages } from './answer.ts'
import type { Caution, ReportContent } from './document.ts'
import type { ReportFigure } from './parts.ts'
import { settingsOf } from './settings.ts'

/** What the user writes. */
export interface ReportWords {
  title: string
  names: string
  date: string
  text: string
}

/** The life that a report is about; null while there is none of the present drop. */
export const lifeOf = ({ life, stale }: State): Life | null =>
  life && !stale && life.status === 'done' ? life : null

const uncertaintyOf = ({ summary }: Life, { neighbours }: State): LifeUncertainty => ({
  radius: neighbours.radiusError >= 0 ? neighbours.radiusError : summary.maxRadiusError,
  collapse: neighbours.collapseError >= 0 ? neighbours.collapseError : summary.collapseTimeError,
})

function cautionsOf(
  { drop, air, liquids }: Life['preset'],
  stockPercent: number | undefined,
  life: Life,
): Caution[] {
  const percent = percentOf(life.preset, drop.alcoholMassFraction)
  return cautionRows(drop.alcohol, percent, stockPercent, air.temperature_C, liquids).map(
    ({ label, value, unit, note }) => ({
      label,
      text: `${value}${unit && ` ${unit}`}${note && ` – ${note}`}`,
    }),
  )
}

/** The title where the user gives none. */
export const plainTitle = (state: State): string => `Report: ${state.preset.title || 'a drop on oil'}`

/** The whole content; null without a life. */
export function contentOf(
  state: State,
  words: ReportWords,
  figures: readonly ReportFigure[],
  isChosen: (id: string, first: boolean) => boolean = (_, first) => first,
): ReportContent | null {
  const life = lifeOf(state)
  if (!life) return null
  const error = uncertaintyOf(life, state)
  const { table: settings, sources } = settingsOf(life)
  const curves = shownCurves(state)
  const { stock } = state.bottle
  const sentence = sentenceOf(life, false, state.neighbours, state.bottle).text
  return {
    result: resultPages(state, life, error, sentence, isChosen),
    title: words.title.trim() || plainTitle(state),
    names: words.names.trim(),
    date: words.date.trim(),
    text: words.text.trim(),
    drop: life.preset.title,
    note: life.preset.note,
    notice: offNotice(life.preset),
    sentence,
    results: resultTable(life, error, state.neighbours.band, state.neighbours.fingers),
    figures,
    measured: curves.length > 0 ? measuredTable(curves, life, state.ownLives) : null,
    leftOut: leftOutWords(curves),
    settings,
    sources,
    errors: errorsTable(life, error),
    warnings: life.facts.warnings,
    limits: LIMITS,
    cautions: cautionsOf(life.preset, stock.by === 'volume' ? stock.value : undefined, life),
  }
}
