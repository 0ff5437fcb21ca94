/**
 * Titles of the table that this program writes: one row a point, units in the titles. Other programs find plain words and
 * numbers; read back, each title means just one thing.
 */
import type { ColumnRole, ConditionErrors, Provenance, SharedCause } from './types.ts'

/** Columns with a role that tables of other programs may have too. */
export const TITLES = {
  series: 'curve',
  group: 'group',
  time: 'time_s',
  radius: 'radius_mm',
  uncertainty: 'uncertainty_mm',
  used: 'used',
  liquid: 'alcohol_kind',
  volume: 'volume_uL',
  contact: 'contact_s',
  depth: 'depth_mm',
  temperature: 'temperature_C',
  humidity: 'relative_humidity',
  oil: 'oil',
  conditions: 'conditions',
  note: 'note',
} as const satisfies Partial<Record<ColumnRole, string>>

/** Titles that such tables had before. */
const FORMER: Record<string, ColumnRole> = {
  'kind of alcohol': 'liquid',
  'contact (s)': 'contact',
  'bath depth (mm)': 'depth',
  'bath temperature (c)': 'temperature',
}

/** What is common to all points, by cause, mm: by how much each radius is too large at one standard uncertainty. */
export const SHARED_TITLES: Readonly<Record<SharedCause, string>> = {
  scale: 'shared_scale_mm',
  threshold: 'shared_threshold_mm',
  children: 'shared_children_mm',
}

/** Standard uncertainties of the conditions. */
export const SIGMA_TITLES: Readonly<Record<keyof ConditionErrors, string>> = {
  alcoholFraction: 'sigma_alcohol_fraction',
  volume_uL: 'sigma_volume_uL',
  startTime_s: 'sigma_contact_s',
  depth_mm: 'sigma_depth_mm',
  temperature_C: 'sigma_temperature_C',
  relativeHumidity: 'sigma_relative_humidity',
  radiusScale: 'sigma_radius_scale',
}

export const DATE_TITLE = 'date_iso8601'

/** How the curve was made; in its first row only. */
export const PROVENANCE_TITLES: Readonly<Record<keyof Provenance, string>> = {
  sha256: 'recording_sha256',
  metresPerPixel: 'recording_metres_per_px',
  scaleUncertainty: 'recording_scale_share_error',
  framesPerSecond: 'recording_frames_per_s',
  difference: 'recording_difference',
  level: 'recording_level',
  version: 'recording_program',
  made: 'recording_made',
}

/** Entries of provenance that are numbers (`level` may be a word). */
export const PROVENANCE_NUMBERS: readonly (keyof Provenance)[] = [
  'metresPerPixel',
  'scaleUncertainty',
  'framesPerSecond',
]

const OWN = new Set(
  [
    DATE_TITLE,
    ...[SHARED_TITLES, SIGMA_TITLES, PROVENANCE_TITLES].flatMap((titles) => Object.values(titles)),
  ].map((title) => title.toLowerCase()),
)

const PLAIN: Readonly<Record<string, ColumnRole>> = {
  ...FORMER,
  ...Object.fromEntries(
    (
      ['group', 'used', 'liquid', 'contact', 'depth', 'temperature', 'humidity', 'oil', 'conditions'] as const
    ).map((role) => [TITLES[role].toLowerCase(), role]),
  ),
}

/** The role of a title of this list; null for any other. */
export function ownRole(title: string): ColumnRole | null {
  const key = title.trim().toLowerCase()
  if (OWN.has(key)) return 'own'
  return Object.hasOwn(PLAIN, key) ? PLAIN[key]! : null
}

/** Whether a title of role 'own' stands over numbers. */
export function ownNumber(title: string): boolean {
  const key = title.trim().toLowerCase()
  const numbers = [
    ...Object.values(SHARED_TITLES),
    ...Object.values(SIGMA_TITLES),
    ...PROVENANCE_NUMBERS.map((entry) => PROVENANCE_TITLES[entry]),
  ]
  return numbers.some((one) => one.toLowerCase() === key)
}

export const isTitle = (text: string | undefined, title: string): boolean =>
  text !== undefined && text.trim().toLowerCase() === title.toLowerCase()
