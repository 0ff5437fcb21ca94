/**
 * The state every view reads. One vanilla store; views subscribe with `watch` and change it only through
 * the functions of actions.ts. Lengths in m, times in s.
 */
import { createStore, type StoreApi } from 'zustand/vanilla'
import type { Life, OutcomeName, Preset } from '../life/types.ts'
import type { OwnLives } from '../measured/fit/ownDrop.ts'
import type { CurveMeta, MeasuredCurve } from '../measured/types.ts'
import type { Envelope } from '../plan/envelope.ts'
import type { NearestChange } from '../plan/nearestChange.ts'
import type { Reach } from '../plan/reach.ts'
import type { Samples } from '../plan/samples.ts'
import type { Stretches } from '../plan/stretches.ts'
import type { SureBand } from '../plan/sureness.ts'
import type { Fingers } from '../rim/fingers.ts'
import type { Place } from './places/places.ts'
import { type Bottle, plainBottle } from './recipe/bottle.ts'
import { type Camera, startCamera } from './stage/camera.ts'

/** The last three are what an eye or a camera sees from straight above. */
export type ColourBy = 'thickness' | 'alcohol' | 'tension' | 'speed' | 'white' | 'mono' | 'dyed'
export type Theme = 'light' | 'dark' | 'system'
export type MessageKind = 'note' | 'warning' | 'error'

/** A life kept for comparison; drawn as a ghost in every plot. */
export interface PinnedLife {
  id: string
  /** Shown at the line's end; plain text. */
  label: string
  life: Life
  /** CSS colour. */
  colour: string
  /** Lengths for setLineDash and stroke-dasharray; empty = solid. */
  dash: readonly number[]
}

export interface Message {
  id: string
  kind: MessageKind
  /** Plain text: what is wrong. */
  text: string
  /** What was kept or can be done about it. */
  kept: string
  /** A button that does something about it. */
  action?: { label: string; run(): void }
  /** How often the same was said; missing = once. */
  times?: number
  /** What it sums up, each to be read by itself. */
  parts?: readonly Message[]
}

/** How it stands with keeping the measured curves in this browser. */
export interface Keeping {
  state: 'opening' | 'kept' | 'saving' | 'failed'
  /** Why they are not kept; plain words. */
  reason: string
}

/** A measured curve that was removed and can be brought back. */
export interface RemovedCurve {
  curve: MeasuredCurve
  /** ms since 1970 */
  removed: number
}

/** What neighbouring lives tell about the present one; filled in idle time, emptied by every change. */
export interface Neighbours {
  /** Of a drop that spreads. */
  band: SureBand | null
  /** The drawn lives behind it, and the time that they took, s. */
  samples: Samples | null
  bandSeconds: number
  envelope: Envelope | null
  /** Of a drop that stays a lens: what would make it spread, and how sure the threshold is (mass fraction). */
  nearest: NearestChange | null
  threshold: Reach | null
  /** Numerical error of the largest radius, m; NaN while it is not known. */
  radiusError: number
  /** Numerical error of the collapse time, s; NaN while it is not known. */
  collapseError: number
  /** Outcome of the coarser calculation from which the errors come, if it is another. */
  otherOutcome: OutcomeName | ''
  /** How the rim breaks, of a drop that spreads. */
  fingers: Fingers | null
}

export const noNeighbours: Neighbours = {
  band: null,
  samples: null,
  bandSeconds: 0,
  envelope: null,
  nearest: null,
  threshold: null,
  radiusError: Number.NaN,
  collapseError: Number.NaN,
  otherOutcome: '',
  fingers: null,
}

/** Outcomes along one input; `of` names the drop without that input. */
export interface KnownStretches {
  of: string
  so: Stretches
}

/** What undo and redo move through. */
interface Step {
  preset: Preset
  pins: readonly PinnedLife[]
  measured: readonly MeasuredCurve[]
  /** What is stated of recordings that are no curves yet, by their id in the queue. */
  stated: ReadonlyMap<string, CurveMeta>
}

/** A recording in the queue; `curve`: id of the measured curve it has become, '' = none. */
export interface QueuedRecording {
  id: string
  name: string
  curve: string
}

export interface State extends Step {
  /** The newest known life, possibly growing; null before the first. */
  life: Life | null
  /** Why no life comes of the present drop although one is wanted, in whole sentences; '' while all is well. */
  trouble: string
  /** True while `life` belongs to an older preset than `preset`. */
  stale: boolean
  /** The last finished life, to be drawn greyed while `life` is growing; null otherwise. */
  outgoing: Life | null
  neighbours: Neighbours
  /** Ids of what the companion drop is without (or with); see explain/without/switches.ts. The preset never changes by it. */
  without: readonly string[]
  /** Life of the companion while both drops are looked at side by side; null otherwise. */
  companion: Life | null
  /** Lives of drops that measured curves state and that are not the shown one; filled in idle time. */
  ownLives: OwnLives
  /** By the dotted path of the input. */
  stretches: Readonly<Record<string, KnownStretches>>
  /** The bottle at hand and what is to be made from it. */
  bottle: Bottle
  /** Recordings that were chosen to be measured one after the other. */
  queued: readonly QueuedRecording[]
  /** Ids of measured curves that are not drawn. */
  hidden: ReadonlySet<string>
  /** Repetitions of one group are drawn as one: mean ± standard deviation. */
  grouped: boolean
  keeping: Keeping
  /** Removed curves that the browser still keeps, the latest first. */
  trash: readonly RemovedCurve[]
  /** Moment shown by all views, s. */
  time: number
  playing: boolean
  /** True while nobody has moved the clock: it then rests at the largest radius of each new life. */
  restAtMaximum: boolean
  /** Seconds of life per second of clock. */
  speed: number
  /** Radius of the hair line, m. */
  cursorRadius: number
  colourBy: ColourBy
  /** Of the light in 'mono', nm. */
  wavelength: number
  /** Of the dye in 'dyed': decadic absorbance per mm. */
  dye: number
  /** Heights on the stage are stretched by this factor. */
  heightFactor: number
  /** From where the stage is looked at. */
  camera: Camera
  /** Logarithmic thickness axis in the section, and heights on the stage. */
  logHeight: boolean
  /** Where the user is: the place, and the part of it that is in sight ('' in a place without parts). */
  place: Place
  part: string
  /** Step of the explanation, from 0. */
  step: number
  /** Section, pulls and traces beside the drop. */
  physics: boolean
  /** All inputs are open. */
  drawer: boolean
  /** Everything large, for a room full of people: the drop and one sentence. */
  room: boolean
  theme: Theme
  /** What `theme` comes to at present. */
  dark: boolean
  messages: readonly Message[]
  /** Common right end of the radial axis of stage and section, m. */
  radialSpan: number
  /** Common right end of the time axes, s. */
  timeSpan: number
  past: readonly Step[]
  future: readonly Step[]
}

export type Store = StoreApi<State>

/** What a mounted view hands back. */
export interface View {
  destroy(): void
}

export function createPageStore(preset: Preset, theme: Theme = 'system'): Store {
  return createStore<State>(() => ({
    preset,
    life: null,
    trouble: '',
    stale: true,
    outgoing: null,
    neighbours: noNeighbours,
    without: [],
    companion: null,
    ownLives: new Map(),
    stretches: {},
    bottle: plainBottle,
    pins: [],
    measured: [],
    stated: new Map(),
    queued: [],
    hidden: new Set<string>(),
    grouped: false,
    keeping: { state: 'opening', reason: '' },
    trash: [],
    time: 0,
    playing: false,
    restAtMaximum: true,
    speed: 1,
    cursorRadius: 0.01,
    colourBy: 'thickness',
    wavelength: 589,
    dye: 10,
    heightFactor: 20,
    camera: startCamera,
    logHeight: true,
    place: 'watch',
    part: '',
    step: 0,
    physics: false,
    drawer: false,
    room: false,
    theme,
    dark: false,
    messages: [],
    radialSpan: 0.03,
    timeSpan: 10,
    past: [],
    future: [],
  }))
}

/**
 * Calls `react` at once and then whenever the picked values change (compared one by one).
 * Gives back the function that ends it.
 */
export function watch<T extends readonly unknown[]>(
  store: Store,
  pick: (state: State) => readonly [...T],
  react: (picked: readonly [...T], state: State) => void,
): () => void {
  let last = pick(store.getState())
  react(last, store.getState())
  return store.subscribe((state) => {
    const next = pick(state)
    if (next.every((value, i) => Object.is(value, last[i]))) return
    last = next
    react(next, state)
  })
}

/** Measured curves that are to be drawn. */
export const shownCurves = (state: State): MeasuredCurve[] =>
  state.measured.filter((curve) => !state.hidden.has(curve.id))
