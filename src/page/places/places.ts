/** The four places of the page, their parts, and what is in sight in each. Pure. */

export type Place = 'watch' | 'explain' | 'bench' | 'data'

export interface Part {
  /** Also the id of its section; what an address names. */
  id: string
  title: string
}

export interface PlaceInfo {
  id: Place
  title: string
  /** What it answers, for the tip of its link. */
  question: string
  /** Of which one is in sight; the first is there at the first visit. Empty: the place has no parts. */
  parts: readonly Part[]
}

export const PLACES: readonly PlaceInfo[] = [
  { id: 'watch', title: 'Watch', question: 'What happens?', parts: [] },
  {
    id: 'explain',
    title: 'Explain',
    question: 'Why does it happen?',
    parts: [
      { id: 'rim', title: 'Step by step' },
      { id: 'without', title: 'With and without' },
      { id: 'exercises', title: 'Exercises' },
      { id: 'glossary', title: 'Words' },
      { id: 'about', title: 'Limits' },
    ],
  },
  {
    id: 'bench',
    title: 'Bench',
    question: 'How do I do it?',
    parts: [
      { id: 'recipe', title: 'Recipe' },
      { id: 'threshold', title: 'Threshold' },
      { id: 'map', title: 'Map' },
      { id: 'matters', title: 'What matters' },
      { id: 'choose', title: 'Which drops' },
      { id: 'sheet', title: 'Lab sheet' },
      { id: 'cautions', title: 'Cautions' },
    ],
  },
  {
    id: 'data',
    title: 'Data',
    question: 'Does it agree?',
    parts: [
      { id: 'video', title: 'Recording' },
      { id: 'measured', title: 'Curves' },
      { id: 'fit', title: 'Fit' },
      { id: 'scaling', title: 'Scaling' },
      { id: 'report', title: 'Report' },
    ],
  },
]

/** Older names of places and parts in addresses. */
const OLDER: ReadonlyMap<string, string> = new Map([
  ['pins', 'measured'],
  ['section', 'watch'],
  ['controls', 'watch'],
])

export interface Spot {
  place: Place
  /** '' in a place without parts. */
  part: string
}

export const placeInfo = (id: Place): PlaceInfo => PLACES.find((place) => place.id === id)!

/** The spot that a name in an address means: a place, or one of its parts; null if it means none. */
export function spotOf(name: string): Spot | null {
  const asked = OLDER.get(name) ?? name
  for (const { id, parts } of PLACES) {
    if (id === asked) return { place: id, part: '' }
    if (parts.some((part) => part.id === asked)) return { place: id, part: asked }
  }
  return null
}

/** What the address calls a spot. */
export const nameOf = ({ place, part }: Spot): string => part || place

/** What decides which sections are in sight. */
export interface Sight extends Spot {
  /** Section, pulls and traces beside the drop. */
  physics: boolean
  /** All inputs. */
  drawer: boolean
  /** Everything large, for a room: the drop and one sentence. */
  room: boolean
}

/** Parts of Explain beside which the drop stays. */
const besideDrop = ['rim', 'exercises', 'glossary']

const besideWatch = ({ place, physics, room }: Sight): boolean => place === 'watch' && physics && !room

/** Sections that are not a part of a place, by id: whether they are in sight. */
const COMMON: Readonly<Record<string, (sight: Sight) => boolean>> = {
  what: ({ place, room }) => place === 'watch' && !room,
  sentence: ({ room }) => !room,
  large: ({ room }) => !room,
  stage: ({ place, part, room }) => room || place === 'watch' || besideDrop.includes(part),
  clock: ({ place, part, room }) =>
    !room && (place === 'watch' || part === 'rim' || part === 'exercises' || part === 'measured'),
  section: besideWatch,
  pulls: besideWatch,
  traces: besideWatch,
  controls: ({ drawer, room }) => drawer && !room,
  pins: ({ part, room }) => part === 'measured' && !room,
  tabs: ({ place, room }) => place !== 'watch' && !room,
}

/** Ids of all sections whose sight depends on the place. */
export const SECTIONS: readonly string[] = [
  ...Object.keys(COMMON),
  ...PLACES.flatMap(({ parts }) => parts.map(({ id }) => id)),
]

export const inSight = (id: string, sight: Sight): boolean => {
  const common = COMMON[id]
  if (common) return common(sight)
  return sight.room ? id === 'rim' : id === sight.part
}
