/** What a worksheet of the present drop says. Pure. */
import type { Life, Preset } from '../../../life/types.ts'
import { contentOf } from '../../report/compose.ts'
import type { Caution } from '../../report/document.ts'
import type { State } from '../../store.ts'
import { EXERCISES } from '../exercises/list.ts'
import { differing, settingWords } from '../exercises/tools.ts'
import type { Exercise } from '../exercises/types.ts'

/** A step of the explanation as a question on paper. */
export interface WorksheetStep {
  title: string
  question: string
  /** For the answer page; '' or left out where there is none. */
  answer?: string
}

export interface Worksheet {
  title: string
  date: string
  /** What must stand over everything in large letters; '' if nothing must. */
  notice: string
  /** The drop in figures. */
  drop: readonly { label: string; value: string }[]
  life: Life
  steps: readonly WorksheetStep[]
  exercises: readonly { title: string; task: string; begin: string; hints: readonly string[] }[]
  /** Exercises that these liquids do not allow, with the reason. */
  leftOut: readonly string[]
  cautions: readonly Caution[]
  sources: readonly string[]
  /** The whole life in one sentence, for the answer page. */
  sentence: string
}

/** Inputs that a reader needs on paper. */
const TOLD = [
  'drop.volume_uL',
  'drop.startRadius_mm',
  'drop.alcohol',
  'drop.alcoholMassFraction',
  'bath.liquid',
  'bath.depth_mm',
  'bath.dishRadius_mm',
  'air.temperature_C',
  'air.relativeHumidity',
  'air.mode',
  'ring.breakUp',
]

/** What may be chosen from, for paper; '' where nothing is. */
function choices({ answer }: Exercise, start: Preset): string {
  if (answer.kind !== 'choice') return ''
  const names = answer.options(start).map(([, label]) => label)
  return `To choose from: ${names.join(', ')}.`
}

/** The worksheet of the present drop; null until its life is there. */
export function worksheetOf(state: State, steps: readonly WorksheetStep[], date: string): Worksheet | null {
  const { life } = state
  const content = contentOf(state, { title: '', names: '', date, text: '' }, [])
  if (!content || !life) return null
  const key = content.settings.columns.findIndex(({ name }) => name === 'key')
  const rows = content.settings.rows.filter((row) => TOLD.includes(String(row[key])))
  const told = EXERCISES.map((exercise) => ({ exercise, start: exercise.start(state.preset) })).map(
    ({ exercise, start }) => ({ exercise, start, cannot: exercise.cannot(start) }),
  )
  return {
    title: life.preset.title || 'A drop on oil',
    date,
    notice: content.notice,
    drop: rows.map(([label, , value, unit]) => ({
      label: String(label),
      value: `${value}${unit ? ` ${unit}` : ''}`,
    })),
    life,
    steps,
    exercises: told
      .filter(({ cannot }) => cannot === '')
      .map(({ exercise, start }) => {
        const differ = differing(state.preset, start)
        return {
          title: exercise.title,
          task: exercise.task(start),
          begin: [
            differ.length > 0 ? `Begin with ${settingWords(start, differ)}.` : '',
            exercise.curves ? 'The page draws the two curves.' : choices(exercise, start),
          ]
            .filter(Boolean)
            .join(' '),
          hints: exercise.hints,
        }
      }),
    leftOut: told
      .filter(({ cannot }) => cannot !== '')
      .map(({ exercise, cannot }) => `${exercise.title}: ${cannot}`),
    cautions: content.cautions,
    sources: content.sources,
    sentence: content.sentence,
  }
}
