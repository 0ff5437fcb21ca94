/** The keeper of this tab: with the browser's store, the other tabs and the closing of the page. */

import type { Store, View } from '../store.ts'
import { Keeper, type Wire } from './keeping.ts'
import { saveCurves } from './saving.ts'
import { openShelf } from './shelf.ts'

const silent: Wire = { post() {}, listen() {}, close() {} }

/** Tabs of the same browser and address; none where the browser has no channel. */
function channel(name: string): Wire {
  if (typeof BroadcastChannel === 'undefined') return silent
  const wire = new BroadcastChannel(name)
  return {
    post: (ids) => wire.postMessage(ids),
    listen(react) {
      wire.onmessage = ({ data }: MessageEvent<unknown>) => {
        if (Array.isArray(data)) react(data.filter((id) => typeof id === 'string'))
      }
    },
    close: () => wire.close(),
  }
}

/** A store that neither opens nor refuses is as good as none. */
const openWithin = 8000

function inTime<T>(work: Promise<T>, ms: number): Promise<T> {
  return Promise.race([
    work,
    new Promise<T>((_, reject) => setTimeout(() => reject(new Error('it does not answer')), ms)),
  ])
}

export interface KeeperHere extends View {
  emptyTrash(): void
  tryAgain(): void
}

/** Starts keeping. While something is not kept, closing the page asks first. */
export function keepCurves(store: Store): KeeperHere {
  const keeper = new Keeper(store, {
    open: (events) => inTime(openShelf(events), openWithin),
    wire: channel('rimtide.curves'),
    tab: Math.floor(Math.random() * 36 ** 6).toString(36),
    now: () => Date.now(),
    rescue: { label: 'Save all curves to a file', run: () => saveCurves(store.getState().measured) },
  })
  const onVisible = () => {
    if (document.visibilityState === 'visible') keeper.refresh()
  }
  const onShow = (event: PageTransitionEvent) => {
    if (event.persisted) keeper.refresh()
  }
  const onLeave = (event: BeforeUnloadEvent) => {
    if (keeper.behind) event.preventDefault()
  }
  let asks = false
  const unsubscribe = store.subscribe((state, before) => {
    if (state.measured === before.measured && state.keeping === before.keeping) return
    const behind = keeper.behind
    if (behind === asks) return
    asks = behind
    if (behind) addEventListener('beforeunload', onLeave)
    else removeEventListener('beforeunload', onLeave)
  })
  document.addEventListener('visibilitychange', onVisible)
  addEventListener('pageshow', onShow)
  return {
    emptyTrash: () => keeper.emptyTrash(),
    tryAgain: () => keeper.save(),
    destroy() {
      unsubscribe()
      document.removeEventListener('visibilitychange', onVisible)
      removeEventListener('pageshow', onShow)
      removeEventListener('beforeunload', onLeave)
      keeper.destroy()
    },
  }
}
