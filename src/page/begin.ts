/** Mounts the page: state, worker, views. */
import './styles/panels.css'
import './controls/controls.css'
import './sheet/paper.css'
import './styles/parts.css'
import { createAbout } from './about.ts'
import { createBar } from './bar.ts'
import { runClock } from './clock/playing.ts'
import { createClockStrip } from './clock/strip.ts'
import { createControls } from './controls/controls.ts'
import { must } from './dom.ts'
import { acceptFiles } from './files.ts'
import { createFit } from './fit/panel.ts'
import { followKeys } from './keyboard.ts'
import { catchUpAddress, followLink, presetOfLink } from './link.ts'
import { followNeighbours } from './lives/neighbours.ts'
import { createPins } from './lives/pins.ts'
import { followPreset } from './lives/runner.ts'
import { createMap } from './map/panel.ts'
import { keepCurves } from './measured/keepingHere.ts'
import { createMeasured } from './measured/panel.ts'
import { createMessages } from './messages.ts'
import { createPulls } from './plots/pulls.ts'
import { createSection } from './plots/section.ts'
import { createTraces } from './plots/traces.ts'
import { firstPreset } from './presets.ts'
import { followBottle } from './recipe/bottleStore.ts'
import { createRecipe } from './recipe/panel.ts'
import { createReport } from './report/panel.ts'
import { createRim } from './rim/panel.ts'
import { createScaling } from './scaling/panel.ts'
import { createSectionLinks, goToLinkedSection } from './sections.ts'
import { createSentence } from './sentence/view.ts'
import { createSheet } from './sheet/panel.ts'
import { createPageStore, type Store, type View } from './store.ts'
import { followTheme, rememberedTheme } from './theme.ts'
import { createThreshold } from './threshold/panel.ts'
import { createVideoPanel } from './video/panel.ts'

type Create = (root: HTMLElement, store: Store) => View

/** A view that cannot be made (no WebGL, say) leaves a note in its place and the rest of the page alone. */
function mount(id: string, store: Store, create: Create): void {
  const root = must(id)
  try {
    create(root, store)
  } catch (error) {
    leaveNote(root, error)
  }
}

/** A view whose code is large comes after the others: what they show of the first life does not wait for it. */
async function mountLater(id: string, store: Store, load: () => Promise<Create>): Promise<void> {
  try {
    mount(id, store, await load())
  } catch (error) {
    leaveNote(must(id), error)
  }
}

function leaveNote(root: HTMLElement, error: unknown): void {
  console.warn(`The view #${root.id} could not be made.`, error)
  const note = document.createElement('p')
  note.className = 'panel-failure'
  note.textContent = 'This part of the page could not be drawn in this browser. The other parts go on.'
  root.replaceChildren(note)
}

function begin(): void {
  catchUpAddress()
  const linked = presetOfLink(location.hash)
  const store = createPageStore(linked.preset ?? firstPreset(), rememberedTheme())
  followTheme(store)
  followPreset(store)
  followBottle(store)
  followNeighbours(store)
  const keeper = keepCurves(store)
  mount('messages', store, createMessages)
  mount('sentence', store, createSentence)
  mount('parts', store, createSectionLinks)
  mount('bar', store, createBar)
  createControls(must('large'), must('controls'), store)
  mount('clock', store, createClockStrip)
  void mountLater('stage', store, async () => (await import('./stage/stage.ts')).createStage)
  mount('section', store, createSection)
  mount('pulls', store, createPulls)
  mount('traces', store, createTraces)
  mount('rim', store, createRim)
  mount('recipe', store, createRecipe)
  mount('threshold', store, createThreshold)
  mount('sheet', store, createSheet)
  mount('map', store, createMap)
  mount('measured', store, (root) => createMeasured(root, store, keeper))
  mount('video', store, createVideoPanel)
  mount('pins', store, createPins)
  mount('fit', store, createFit)
  mount('scaling', store, createScaling)
  mount('report', store, createReport)
  mount('about', store, createAbout)
  followLink(store, linked.problems)
  followKeys(store)
  acceptFiles(document.body, store)
  runClock(store)
  goToLinkedSection(location.hash, store)
}

begin()
