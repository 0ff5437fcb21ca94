/** Beside the drop: section, pulls, traces. */
import { createPulls } from '../plots/pulls.ts'
import { createSection } from '../plots/section.ts'
import { createTraces } from '../plots/traces.ts'
import type { Store } from '../store.ts'
import { mount } from './mount.ts'

export function mountPhysics(store: Store): void {
  mount('section', store, createSection)
  mount('pulls', store, createPulls)
  mount('traces', store, createTraces)
}
