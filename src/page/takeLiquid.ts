/** A liquid from a file becomes the drop's alcohol or the bath. */
import { parseLiquid, withLiquid } from '../life/preset.ts'
import type { Preset } from '../life/types.ts'
import { mixtureFor, oilFor } from '../liquids/own/resolve.ts'
import type { OwnKind, OwnLiquid } from '../liquids/own/types.ts'
import { say, setPreset } from './actions.ts'
import { refuse } from './refuse.ts'
import type { Store } from './store.ts'

/** Takes the text of a liquid file: the liquid is chosen at once, or everything that is wrong with it is told. */
export function takeLiquid(name: string, text: string, store: Store): void {
  const read = parseLiquid(text)
  const { preset } = store.getState()
  const made = read.ok ? withLiquid(preset, read.kind, read.liquid, beside(preset, read.kind)) : read
  if (!read.ok || !made.ok) {
    refuse(store, `${name} is not a liquid that can be used.`, made.ok ? [] : made.problems)
    return
  }
  setPreset(store, made.preset)
  const { liquid, kind } = read
  const role = kind === 'mixture' ? 'the alcohol of the drop' : 'the bath'
  const lent = `What it leaves out comes from ${likeName(kind, liquid)}.`
  say(
    store,
    'note',
    `${liquid.name} is now ${role}. ${lent}`,
    'Save the preset to keep it. Undo takes it back.',
  )
}

const likeName = (kind: OwnKind, { like }: OwnLiquid): string =>
  kind === 'mixture' ? mixtureFor({ drop: { alcohol: like } }).name : oilFor({ bath: { liquid: like } }).name

/** A real liquid does not go with the closed forms: the other one of the pair becomes real too. */
function beside({ drop }: Preset, kind: OwnKind): [string, string][] {
  if (drop.alcohol !== 'reference') return []
  return kind === 'mixture' ? [['bath.liquid', 'rapeseed-oil']] : [['drop.alcohol', 'ethanol']]
}
