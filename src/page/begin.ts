/** Mounts the page: state, worker, what is seen first; then, place by place, the rest. */
import './styles/panels.css'
import './controls/controls.css'
import './sheet/paper.css'
import './styles/parts.css'
import './styles/print.css'
import './styles/room.css'
import './styles/low.css'
import './styles/forced.css'
import { createBar } from './bar.ts'
import { runClock } from './clock/playing.ts'
import { createClockStrip } from './clock/strip.ts'
import { createControls } from './controls/controls.ts'
import { must } from './dom.ts'
import { acceptFiles } from './files.ts'
import { followKeys } from './keyboard.ts'
import { catchUpAddress, followLink, presetOfLink, takeWanted } from './link.ts'
import { followNeighbours } from './lives/neighbours.ts'
import { followPreset } from './lives/runner.ts'
import { rememberedGrouped } from './measured/grouping.ts'
import { keepCurves } from './measured/keepingHere.ts'
import { createMessages } from './messages.ts'
import { wantedOf } from './places/address.ts'
import { mount, mountLater } from './places/mount.ts'
import { mountPlaces } from './places/mounting.ts'
import { createPlaces, createTabs } from './places/nav.ts'
import { followPrinting } from './places/printing.ts'
import { rememberedOpened } from './places/remembered.ts'
import { followRoom } from './places/room.ts'
import { followPlace } from './places/show.ts'
import { firstPreset } from './presets.ts'
import { followBottle } from './recipe/bottleStore.ts'
import { createSentence } from './sentence/view.ts'
import { createPageStore } from './store.ts'
import { followTheme, rememberedTheme } from './theme.ts'

function begin(): void {
  catchUpAddress()
  const linked = presetOfLink(location.hash)
  const store = createPageStore(linked.preset ?? firstPreset(), rememberedTheme())
  store.setState({ grouped: rememberedGrouped() })
  store.setState(rememberedOpened())
  takeWanted(store, wantedOf(location.hash), false)
  followPlace(store)
  followTheme(store)
  followPreset(store)
  followBottle(store)
  followNeighbours(store)
  const keeper = keepCurves(store)
  mount('messages', store, createMessages)
  mount('sentence', store, createSentence)
  mount('places', store, createPlaces)
  mount('tabs', store, createTabs)
  mount('bar', store, createBar)
  createControls(must('large'), must('controls'), store)
  mount('clock', store, createClockStrip)
  const stage = mountLater('stage', store, async () => (await import('./stage/stage.ts')).createStage)
  followLink(store, linked.problems)
  followKeys(store)
  acceptFiles(document.body, store)
  runClock(store)
  followPrinting(store)
  followRoom(store)
  mountPlaces(store, keeper, stage)
}

begin()
