/** What the user chose and wrote for the report, remembered within the visit. */
import * as v from 'valibot'
import { numberIn } from '../fields.ts'
import { today } from '../format.ts'
import type { ReportWords } from './compose.ts'

export interface ReportChoice extends ReportWords {
  /** By the id of a part; missing = as the part proposes. */
  chosen: Record<string, boolean>
  /** Moments of the section as they were typed. */
  moments: string
}

const plainChoice = (): ReportChoice => ({
  title: '',
  names: '',
  date: today(),
  text: '',
  chosen: {},
  moments: '',
})

const shape = v.object({
  title: v.string(),
  names: v.string(),
  date: v.string(),
  text: v.string(),
  chosen: v.record(v.string(), v.boolean()),
  moments: v.string(),
})

const key = 'rimtide.report'

export function rememberedChoice(): ReportChoice {
  try {
    const read = v.safeParse(shape, JSON.parse(sessionStorage.getItem(key) ?? 'null'))
    return read.success ? read.output : plainChoice()
  } catch {
    return plainChoice()
  }
}

export function rememberChoice(choice: ReportChoice): void {
  try {
    sessionStorage.setItem(key, JSON.stringify(choice))
  } catch {
    // A refused storage only means that a reload forgets the choice.
  }
}

/** Most moments of the section in one report. */
const most = 8

export type Moments = { ok: true; times: number[] } | { ok: false; message: string }

/** Moments typed as "0.5; 3; 6,2" (s), within a life that ends at `end`; none typed = the moment shown. */
export function momentsIn(text: string, end: number, shown: number): Moments {
  const parts = text
    .split(/[;\s]+/)
    .map((part) => part.replace(/,$/, ''))
    .filter(Boolean)
  if (parts.length === 0) return { ok: true, times: [Math.min(shown, end)] }
  const times = parts.map(numberIn)
  const wrong = parts.find((_, i) => !(times[i]! >= 0 && times[i]! <= end))
  const range = `0 to ${Number(end.toPrecision(4))} s`
  if (wrong !== undefined)
    return {
      ok: false,
      message: `${JSON.stringify(wrong.slice(0, 20))} is no moment of this life. Permitted: ${range}, separated by semicolons.`,
    }
  if (times.length > most)
    return { ok: false, message: `${times.length} moments. Permitted: at most ${most}.` }
  return { ok: true, times: [...new Set(times)].sort((a, b) => a - b) }
}
