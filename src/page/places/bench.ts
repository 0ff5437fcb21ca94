/** How do I do it? */
import { createCautions } from '../about.ts'
import { createChoose } from '../choose/choosePanel.ts'
import { createMap } from '../map/mapPanel.ts'
import { createMatters } from '../matters/mattersPanel.ts'
import { createRecipe } from '../recipe/recipePanel.ts'
import { createSheet } from '../sheet/sheetPanel.ts'
import type { Store } from '../store.ts'
import { createThreshold } from '../threshold/thresholdPanel.ts'
import { mount } from './mount.ts'

export function mountBench(store: Store): void {
  mount('recipe', store, createRecipe)
  mount('threshold', store, createThreshold)
  mount('map', store, createMap)
  mount('matters', store, createMatters)
  mount('choose', store, createChoose)
  mount('sheet', store, createSheet)
  mount('cautions', store, createCautions)
}
