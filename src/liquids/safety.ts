import type { SourceNote } from './types.ts'

/** What can hurt about an alcohol. Local rules and the person responsible come first. */
export interface Hazard {
  /** Flash point of the pure liquid or of mixtures, [% by volume, °C]. */
  flashPoint: readonly (readonly [percent: number, celsius: number])[]
  /** Workplace limit in the air, parts per million by volume, if known here. */
  limitPpm?: number
  /** Short-term limit, ppm. */
  shortTermPpm?: number
  /** Concentration immediately dangerous to life or health, ppm. */
  dangerPpm?: number
  /** Explosive range in air, % by volume. */
  explosive?: readonly [lower: number, upper: number]
  /** Sentences to show. */
  cautions: readonly string[]
  sources: readonly SourceNote[]
}

const FIRE =
  'The vapour of the stock bottle burns: keep it closed and away from flames, hot plates and sparks. The drop itself is too small to matter.'
const GENERAL: readonly string[] = [
  'Wear eye protection and air the room.',
  'Collect oil and alcohol for disposal; not down the drain.',
  'Local rules and the person responsible for the room come first.',
]

/** Cautions that hold for every flammable liquid of the bench. */
export const COMMON_CAUTIONS: readonly string[] = [FIRE, ...GENERAL]

const niosh = (quantity: string): SourceNote => ({
  quantity,
  source: 'NIOSH Pocket Guide to Chemical Hazards',
  quality: 'measured',
  range: 'see the current edition',
})

const fromMemory = (quantity: string, range: string): SourceNote => ({
  quantity,
  source: 'NIOSH Pocket Guide to Chemical Hazards, its value from memory',
  quality: 'from memory',
  range,
})

/** Hazards by mixture id. */
export const hazards: Readonly<Record<string, Hazard>> = {
  ethanol: {
    flashPoint: [
      [10, 49],
      [20, 36],
      [40, 26],
      [60, 22],
      [80, 20],
      [96, 17],
      [100, 12.8],
    ],
    limitPpm: 1000,
    dangerPpm: 3300,
    explosive: [3.3, 19],
    cautions: [FIRE, ...GENERAL],
    sources: [
      {
        quantity: 'flash point of ethanol–water',
        source:
          'table attributed, from memory, to Martínez, Rus & Compaña, Ing. Química, July 1991; quoted by volume and by mass, the lower reading is taken; pure ethanol: NIOSH Pocket Guide',
        quality: 'from memory',
        range: '10–100 % by volume, closed cup as far as known',
      },
      niosh('limits and explosive range of ethanol'),
    ],
  },
  '2-propanol': {
    flashPoint: [[100, 11.7]],
    limitPpm: 400,
    shortTermPpm: 500,
    dangerPpm: 2000,
    explosive: [2, 12.7],
    cautions: [FIRE, 'The vapour irritates eyes and makes drowsy.', ...GENERAL],
    sources: [niosh('flash point, explosive range and limits of 2-propanol')],
  },
  '1-propanol': {
    flashPoint: [[100, 22.2]],
    limitPpm: 200,
    shortTermPpm: 250,
    dangerPpm: 800,
    cautions: [FIRE, 'The liquid damages eyes.', ...GENERAL],
    sources: [fromMemory('flash point of 1-propanol', 'pure, closed cup'), niosh('limits of 1-propanol')],
  },
  methanol: {
    flashPoint: [[100, 11.1]],
    limitPpm: 200,
    cautions: [
      'Methanol is toxic when swallowed, breathed or taken up through the skin: gloves, fume cupboard, and only under supervision. Prefer ethanol or 2-propanol.',
      FIRE,
      ...GENERAL,
    ],
    sources: [
      fromMemory('flash point of methanol', 'pure, closed cup'),
      {
        quantity: 'limit of methanol',
        source: 'workplace limit 200 ppm',
        quality: 'from memory',
        range: 'check the current local limit',
      },
    ],
  },
}

/**
 * Flash point at a strength in % by volume, °C, on straight lines between the table's values; null outside the table
 * (weaker than the first or stronger than the last value) or where there is no table.
 */
export const flashPoint = (id: string, percent: number): number | null => flashPointOf(hazards[id], percent)

/** The same of a hazard. */
export function flashPointOf(hazard: Hazard | undefined, percent: number): number | null {
  const table = hazard?.flashPoint ?? []
  const next = table.findIndex(([p]) => p >= percent)
  if (next < 0) return null
  const [p1, t1] = table[next]!
  if (p1 === percent) return t1
  if (next === 0) return null
  const [p0, t0] = table[next - 1]!
  return t0 + ((percent - p0) / (p1 - p0)) * (t1 - t0)
}
