/** The invented demo tables that come with the page, and the drop that they speak of. */

import spreads from '../../../presets/harbour-lane-spreads.json?raw'
import { parsePreset, setKey } from '../../life/preset.ts'
import { say, setPreset } from '../actions.ts'
import type { Store } from '../store.ts'
import { importTable } from './importing.ts'

const demos = import.meta.glob<string>('../../../presets/harbour-lane-measured*.csv', {
  query: '?raw',
  import: 'default',
  eager: true,
})

/** The drop of the demo tables as their makers know it: how fast the alcohol left is for a fit to find. */
function setTheirDrop(store: Store): void {
  const read = parsePreset(spreads)
  const made = read.ok ? setKey(read.preset, 'bath.liquid', 'rapeseed-oil-kitchen') : read
  if (made.ok) setPreset(store, { ...made.preset, title: 'Harbour Lane, bench 3: kitchen oil' })
}

/** Loads all of them; those that are here already are not loaded twice. */
export async function loadDemo(store: Store): Promise<void> {
  for (const [path, text] of Object.entries(demos)) {
    await importTable({ name: path.slice(path.lastIndexOf('/') + 1), source: text }, store)
  }
  const text =
    'Three invented curves, as if measured over kitchen-grade rapeseed oil. With their drop on the page a fit of the film coefficient finds out how fast the alcohol left.'
  say(store, 'note', text, '', { label: 'Set their drop', run: () => setTheirDrop(store) })
}
