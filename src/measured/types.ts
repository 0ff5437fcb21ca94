/** Contracts of the measured curves. Stored values are always in seconds and metres. */

/** One thing that is wrong with an input: where, what, and what would be right. */
export interface Problem {
  /** File, line and column of the table, as far as they are known. */
  where: string
  message: string
}

export type TimeUnit = 's' | 'ms' | 'min' | 'frame'
export type LengthUnit = 'm' | 'cm' | 'mm' | 'µm'
export type AreaUnit = 'm²' | 'cm²' | 'mm²' | 'µm²'
/** What a size is counted in where only the picture is known; `Choices.millimetresPerPixel` makes a length of it. */
export type PixelUnit = 'px' | 'px²'
export type DecimalMark = '.' | ','

/** What a column of a table holds. */
export type ColumnRole =
  | 'time'
  | 'radius'
  | 'diameter'
  /** Area of the drop seen from above; its radius is that of the circle of this area. */
  | 'area'
  | 'uncertainty'
  | 'series'
  /** 0 or no = the point is set aside. */
  | 'used'
  /** Alcohol fraction. */
  | 'alcohol'
  /** Which alcohol. */
  | 'liquid'
  /** Drop volume, µL. */
  | 'volume'
  /** Moment of contact on the table's clock, s. */
  | 'contact'
  /** Depth of the bath, mm. */
  | 'depth'
  /** Temperature of the bath, °C. */
  | 'temperature'
  /** Relative humidity of the room. */
  | 'humidity'
  /** Which oil. */
  | 'oil'
  /** Runs of one name are repetitions. */
  | 'group'
  | 'conditions'
  | 'note'
  /** What the title says, word for word, in a table that this program wrote (tidyTitles.ts). */
  | 'own'
  | 'ignore'

/**
 * '%' belongs to uncertainties (of the radius or area) and to the humidity; 'mass' and 'volume' to the alcohol fraction,
 * 'mass %' and 'volume %' to the same in per cent; 'share' is 0 to 1.
 */
export type ColumnUnit =
  | TimeUnit
  | LengthUnit
  | AreaUnit
  | PixelUnit
  | '%'
  | 'share'
  | 'mass'
  | 'volume'
  | 'mass %'
  | 'volume %'
  | 'uL'

/** What stands between the cells of a row; ' ' = any number of blanks. */
export type Separator = ',' | ';' | '\t' | ' '

/** One column of a table, counted from 0. A unit that is missing is asked for. */
export interface Column {
  index: number
  role: ColumnRole
  unit?: ColumnUnit
  /** Name of the curve that a radius column holds (missing = the file's name) or an uncertainty speaks of. */
  name?: string
  /** For an uncertainty: index of the radius column it belongs to; missing = found by name or place. */
  of?: number
}

/** Colours a curve can be given; each has its own dash and marker where it is drawn. */
export type CurveColour = 'vermilion' | 'green' | 'purple' | 'orange' | 'sky' | 'blue'

/**
 * Standard uncertainties (1 σ, above 0) of what a curve states, in the unit of the statement; `radiusScale` is that of
 * the recording's scale as a share of the radius.
 */
export interface ConditionErrors {
  alcoholFraction?: number
  volume_uL?: number
  startTime_s?: number
  depth_mm?: number
  temperature_C?: number
  relativeHumidity?: number
  radiusScale?: number
}

/** What is known about the drop of a curve. All of it is the user's word; nothing is checked against the numbers. */
export interface CurveMeta {
  /** Which alcohol: an id of the liquids' registry where it is one of them, else the user's words. */
  alcohol?: string
  /** Alcohol fraction at the start, 0–1; `fractionBasis` says by what (missing = by mass). */
  alcoholFraction?: number
  fractionBasis?: 'mass' | 'volume'
  /** Drop volume, µL, above 0. */
  volume_uL?: number
  /** Moment of contact on the curve's own clock, s, of either sign; missing = 0. */
  startTime_s?: number
  /** Depth of the bath, mm, above 0. */
  depth_mm?: number
  /** Temperature of room and bath, °C. */
  temperature_C?: number
  /** Relative humidity of the room, 0–1. */
  relativeHumidity?: number
  /** Which oil: an id of the liquids' registry where it is one of them, else the user's words. */
  oil?: string
  /** Day of the run, ISO 8601 (2026-11-29). */
  date?: string
  /** Runs of one name are repetitions of one drop. */
  group?: string
  /** How well what is stated is known: standard uncertainties. */
  sigma?: ConditionErrors
  /** Free text: oil, dish, lighting, … */
  conditions?: string
  note?: string
  /** Missing = by its place in the list. */
  colour?: CurveColour
}

/**
 * A cause of error that all points of a curve share: `scale` of the recording, `threshold` of what counts as drop in a
 * picture, `children` (whether what hangs on by necks is drop or child drop).
 */
export interface SharedError {
  cause: SharedCause
  /** By how much each radius is too large when the cause is one standard uncertainty off, m; signed, one per point. */
  shift: Float64Array
}

export type SharedCause = 'scale' | 'threshold' | 'children'

/** How a curve was made; told in the report. Missing = not known. */
export interface Provenance {
  /** SHA-256 of the file's bytes in hexadecimal; of several pictures that of their sums in order. */
  sha256?: string
  /** m per pixel, above 0, and its relative standard uncertainty. */
  metresPerPixel?: number
  scaleUncertainty?: number
  /** Frames per second in the lab, above 0. */
  framesPerSecond?: number
  /** What told drop from bath, in words, and the share of the bath's light at which the outline lies; 'found' = by itself. */
  difference?: string
  level?: number | 'found'
  /** Version of the program, and when, ISO 8601. */
  version?: string
  made?: string
}

/** What the reading of a file told about a curve, kept so that it can be looked up later. */
export interface CurveOrigin {
  /** Rows that gave no point; a long list is cut and `skippedMore` counts the rest. */
  skipped: readonly Skipped[]
  skippedMore?: number
  warnings: readonly string[]
}

/**
 * A measured radius–time curve: at least two points, times strictly increasing, radii finite and not negative.
 * Never changed in place: a change makes a new object. What counts in comparisons is `usedPoints` (usable.ts).
 */
export interface MeasuredCurve {
  /** Made from file name, curve name and numbers when it is read (the same table gives the same id); kept by later changes. */
  id: string
  name: string
  /** Time on the curve's own clock, s. */
  time: Float64Array
  /** Radius, m. */
  radius: Float64Array
  /** Standard uncertainty of the radius, m, above 0; NaN where the table gives none. Holds the shared part too. */
  uncertainty?: Float64Array
  /** The part of the uncertainty that all points share, by cause (each once); what is left in quadrature is each point's own. */
  shared?: readonly SharedError[]
  /** One per point: 1 = set aside by hand, kept and shown but not used; missing = all are used. */
  excluded?: Uint8Array
  meta: CurveMeta
  /** Name of the file the curve came from. */
  file: string
  origin?: CurveOrigin
  provenance?: Provenance
}

/** A row, or a run of rows with the same reason, that gave no point. */
export interface Skipped {
  /** Line of the file, counted from 1. */
  line: number
  /** Last line of the run, when it is more than one line. */
  last?: number
  reason: string
}

/** The head of the table and how its columns were understood, for a dialogue in which they can be corrected. */
export interface Preview {
  header: string[]
  /** The first rows below the header, as text, and their lines in the file. */
  rows: string[][]
  lines: number[]
  columns: Column[]
  /** Line of the header, from 1; 0 = there is none (or it stands in a comment). */
  headerLine: number
  /** The first rows of the table, the header among them: what may be chosen as the header. */
  first: { line: number; cells: string[] }[]
  separator: Separator
  /** Titles that could be meant otherwise than they were read, in words, by the index of their column. */
  doubts: readonly Doubt[]
}

export interface Doubt {
  column: number
  text: string
}

/** What only the user can say. Each field present is a question; lists begin with the likeliest answer. */
export interface Needs {
  timeUnit?: TimeUnit[]
  radiusUnit?: (LengthUnit | 'px')[]
  /** The time column counts frames: the frame rate in 1/s is wanted; `guess` when the file hints at one. */
  framesPerSecond?: { guess?: number }
  /** A size is in pixels: mm per pixel is wanted; `guess` when the file hints at one. */
  millimetresPerPixel?: { guess?: number }
  /** Numbers such as 1,234 or 1.234 that can be read in two ways. */
  decimalMark?: DecimalMark[]
  /** The roles in `preview.columns` are guesses: answer with `Choices.columns`. */
  columns?: true
  /** Times are out of order: answer `sort: true` to have them sorted. */
  sort?: true
  /** Cells hold no numbers: answer `skipBad: true` to have their rows left out. */
  skipBad?: true
}

/** Answers to `Needs`. Units given here fill gaps only; `columns` replaces the whole understanding of the header. */
export interface Choices {
  timeUnit?: TimeUnit
  radiusUnit?: LengthUnit | 'px'
  framesPerSecond?: number
  /** For sizes in pixels: mm per pixel, above 0, and its standard uncertainty (mm per pixel, 0 or missing = exact). */
  millimetresPerPixel?: number
  millimetresPerPixelError?: number
  decimalMark?: DecimalMark
  columns?: readonly Column[]
  sort?: boolean
  /** Line of the file that holds the header, from 1; 0 = none. Missing = found by the program. */
  headerLine?: number
  separator?: Separator
  /** Name of the sheet of a workbook, where it has several. */
  sheet?: string
  /** Leave out rows in which a number cannot be read, instead of refusing the table. */
  skipBad?: boolean
}

/** Told while a large table is read: part done, 0–1, and what is being done. */
export type Progress = (part: number, doing: string) => void

export type ReadResult =
  | {
      ok: true
      curves: MeasuredCurve[]
      skipped: Skipped[]
      warnings: string[]
      preview: Preview
      /** True when a header could be meant otherwise than it was read; what it is stands in `warnings`. */
      unsure: boolean
    }
  | {
      ok: false
      /** Never empty; a question of `needs` is also put in words here. */
      problems: Problem[]
      needs?: Needs
      preview?: Preview
      /** True when answering `needs` is all that is missing. */
      askOnly: boolean
    }
