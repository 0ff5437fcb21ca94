/**
 * Planned runs: rows of the table of runs that have no curve yet. They stand among what is stated of runs (a step of undo),
 * under ids of their own, until a curve or a recording takes their data over.
 */
import type { Preset } from '../../life/types.ts'
import type { CurveMeta } from '../../measured/types.ts'
import { applyStep, say } from '../actions.ts'
import type { State, Store } from '../store.ts'

const PREFIX = 'planned:'

export const isPlanned = (id: string): boolean => id.startsWith(PREFIX)

/** Name of a planned run, out of its id. */
export const plannedName = (id: string): string => id.slice(PREFIX.length)

/** What a planned run states: its own values, and those of the drop that all runs share. */
export function plannedMeta({ drop, bath, air }: Preset, own: CurveMeta): CurveMeta {
  const closed = drop.alcohol === 'reference'
  const common: CurveMeta = {
    alcoholFraction: drop.alcoholMassFraction,
    fractionBasis: 'mass',
    volume_uL: drop.volume_uL,
    depth_mm: bath.depth_mm,
    ...(closed ? {} : { alcohol: drop.alcohol, oil: bath.liquid, temperature_C: air.temperature_C }),
  }
  return { ...common, ...own }
}

/** Puts planned runs into the table, in their order: one step of undo. */
export function addPlanned(store: Store, metas: readonly CurveMeta[]): void {
  const stated = new Map(store.getState().stated)
  metas.forEach((meta, i) => {
    const name = `Planned run ${i + 1} of ${metas.length}`
    let id = PREFIX + name
    for (let n = 2; stated.has(id); n++) id = `${PREFIX}${name} (${n})`
    stated.set(id, meta)
  })
  applyStep(store, '', { stated })
}

/** Takes a planned run out. */
export function removePlanned(store: Store, id: string): void {
  const stated = new Map(store.getState().stated)
  if (stated.delete(id)) applyStep(store, '', { stated })
}

/** What a run states already in another way. */
const against = (has: CurveMeta, planned: CurveMeta): string[] =>
  Object.entries(planned).flatMap(([name, value]) => {
    const own = has[name as keyof CurveMeta]
    return own === undefined || own === value ? [] : [name]
  })

/** Gives the data of a planned run to a curve or a recording, which keeps what it states itself; the row goes. */
export function takePlanned(
  store: Store,
  id: string,
  to: { id: string; name: string; meta: CurveMeta },
): void {
  const { stated, measured }: State = store.getState()
  const planned = stated.get(id)
  if (!planned) return
  const meta = { ...planned, ...to.meta }
  // A basis belongs to its own strength.
  if (to.meta.alcoholFraction !== undefined && to.meta.fractionBasis === undefined) delete meta.fractionBasis
  const rest = new Map(stated)
  rest.delete(id)
  const kept = against(to.meta, planned)
  if (measured.some((curve) => curve.id === to.id)) {
    applyStep(store, '', {
      stated: rest,
      measured: measured.map((curve) => (curve.id === to.id ? { ...curve, meta } : curve)),
    })
  } else applyStep(store, '', { stated: rest.set(to.id, meta) })
  say(
    store,
    kept.length > 0 ? 'warning' : 'note',
    kept.length > 0
      ? `“${to.name}” states something else than ${plannedName(id)}; what it states stays.`
      : `“${to.name}” is ${plannedName(id)} now.`,
    'Undo brings the row back.',
  )
}
