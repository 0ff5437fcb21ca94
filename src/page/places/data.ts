/** Does it agree? In the order of the work. */
import { createFit } from '../fit/fitPanel.ts'
import { createPins } from '../lives/pins.ts'
import type { KeeperHere } from '../measured/keepingHere.ts'
import { createMeasured } from '../measured/panel.ts'
import { createReport } from '../report/reportPanel.ts'
import { createScaling } from '../scaling/scalingPanel.ts'
import type { Store } from '../store.ts'
import { createVideoPanel } from '../video/panel.ts'
import { mount } from './mount.ts'

export function mountData(store: Store, keeper: KeeperHere): void {
  mount('video', store, createVideoPanel)
  mount('measured', store, (root) => createMeasured(root, store, keeper))
  mount('pins', store, createPins)
  mount('fit', store, createFit)
  mount('scaling', store, createScaling)
  mount('report', store, createReport)
}
