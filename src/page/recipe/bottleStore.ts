/** Keeps the bottle at hand in this browser. */
import { setBottle } from '../actions.ts'
import { type Store, type View, watch } from '../store.ts'
import { rememberBottle, rememberedBottle } from './bottle.ts'

export function followBottle(store: Store): View {
  setBottle(store, rememberedBottle())
  const destroy = watch(
    store,
    (state) => [state.bottle],
    ([bottle]) => rememberBottle(bottle),
  )
  return { destroy }
}
