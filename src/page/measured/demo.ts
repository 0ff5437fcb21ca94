/** The invented demo tables that come with the page. */

import type { Store } from '../store.ts'
import { importTable } from './importing.ts'

const demos = import.meta.glob<string>('../../../presets/harbour-lane-measured*.csv', {
  query: '?raw',
  import: 'default',
  eager: true,
})

/** Loads all of them; those that are here already are not loaded twice. */
export async function loadDemo(store: Store): Promise<void> {
  for (const [path, text] of Object.entries(demos)) {
    await importTable({ name: path.slice(path.lastIndexOf('/') + 1), source: text }, store)
  }
}
