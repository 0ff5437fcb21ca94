/** The workbench for one recording: opened when it is first needed. */
import './video.css'
import './timeline.css'
import { say } from '../actions.ts'
import { el } from '../dom.ts'
import { createFringesFold } from '../fringes/fold.ts'
import { reasonOf } from '../measured/keeping.ts'
import { KEPT } from '../refuse.ts'
import type { Store, View } from '../store.ts'
import { type AddForm, createAddForm } from './addForm.ts'
import { followCamera, rememberedCamera, takeCamera } from './camera.ts'
import { createCameraNote } from './cameraNote.ts'
import { createMarkClient } from './client.ts'
import { openDemo } from './demo.ts'
import { droppedFiles } from './droppedFolders.ts'
import { button } from './fields.ts'
import { createFingerPlot } from './fingerPlot.ts'
import { keepWork, type WorkKeeper } from './keepingWork.ts'
import { createKeptList } from './keptList.ts'
import { createMeasuring } from './measuring.ts'
import { findRecordings, openRecording } from './open.ts'
import { createPoints } from './pointsTable.ts'
import { createRecordingShelf, type RecordingShelf } from './recordingShelf.ts'
import { createRunPart } from './runPart.ts'
import {
  createSession,
  type SessionStore,
  sameRecording,
  startPlacing,
  takeDemo,
  takeSource,
  undoCorrection,
} from './session.ts'
import { dropPart, scalePart, timePart } from './setup.ts'
import { type FrameSource, SourceProblem } from './source.ts'
import { createStepper } from './stepping.ts'
import { createTimeline } from './timeline.ts'
import { createViewer } from './viewer.ts'
import { workNotes } from './workNotes.ts'
import { workShelf } from './workShelf.ts'

export interface Bench extends View {
  /** Opens a video or pictures. */
  take(files: readonly File[]): void
}

export function createBench(root: HTMLElement, store: Store): Bench {
  const session = createSession()
  const client = createMarkClient()
  const tell = (text: string) => say(store, 'error', text, KEPT)
  const measuring = createMeasuring(session, client, tell)
  const stepper = createStepper(session, tell)
  const keptList = createKeptList(
    store,
    () => keeper,
    (id) => shelf?.holds(id) ?? false,
    goOnWith,
  )
  let shelf: RecordingShelf | null = null
  let form: AddForm | null = null
  let failure = ''
  const keeper: WorkKeeper = keepWork(session, {
    shelf: workShelf(),
    notes: workNotes(),
    now: () => Date.now(),
    changed: () => keptList.update(),
    failed: (error) => {
      if (failure === reasonOf(error)) return
      failure = reasonOf(error)
      say(store, 'warning', `The points of this recording are not kept in this browser: ${failure}.`, notKept)
    },
  })

  function goOnWith(id: string): void {
    measuring.stop()
    keeper.getBack(id)
    cameraNote.told(null)
    const { source, start } = session.getState()
    if (source && !source.withoutPictures) stepper.go(start)
    getBarePicture(session).catch((error: Error) => tell(error.message))
    toPicture()
  }

  const stage = el('div', { class: 'video-stage' })
  const rest = el('div', { class: 'video-work', hidden: true })
  const opening = el('p', { class: 'note', role: 'status' })
  const toPicture = () => stage.querySelector<HTMLElement>('.video-picture')?.focus()

  async function take(
    open: () => Promise<{ source: FrameSource }>,
    begin: (...given: Parameters<typeof takeSource>) => void = takeSource,
  ): Promise<boolean> {
    measuring.stop()
    opening.textContent = 'Opening …'
    try {
      const { source } = await open()
      const shot = await source.at(begin === takeDemo ? 1.5 : 0)
      const { source: last } = session.getState()
      const joins = last?.withoutPictures && sameRecording(last, source)
      const queued = shelf?.shown() !== ''
      const aside = joins ? null : keeper.setAside()
      begin(session, source, shot)
      if (!joins) {
        const camera = rememberedCamera(source)
        if (camera) takeCamera(session, camera)
        cameraNote.told(camera)
      }
      await getBarePicture(session)
      if (source.remark) say(store, 'warning', source.remark)
      if (aside && !queued)
        say(store, 'note', `The points of ${aside} are kept as unfinished.`, 'Get them back above the frame.')
      return true
    } catch (error) {
      const own = error instanceof SourceProblem
      tell(own ? error.message : `The recording could not be opened (${(error as Error).message}).`)
      return false
    } finally {
      opening.textContent = session.getState().source ? '' : startText
    }
  }
  /** One recording is opened; several, or such as are queued already, go into the queue. */
  async function takeFiles(files: readonly File[]): Promise<void> {
    opening.textContent = 'Opening …'
    const found = await findRecordings(files).catch((error: Error) => {
      tell(error.message)
      return null
    })
    opening.textContent = session.getState().source ? '' : startText
    if (!found) return
    if (found.left.length > 0) {
      const names = found.left.slice(0, 4).join(', ')
      const more = found.left.length > 4 ? ` and ${found.left.length - 4} more` : ''
      say(store, 'warning', `Not taken: ${names}${more}.`, 'These are neither videos nor pictures.')
    }
    if (!shelf!.queues(found.recordings)) await take(() => openRecording(found.recordings[0]!))
  }

  const chosen = el('input', {
    type: 'file',
    multiple: true,
    accept: 'video/*,image/*',
    hidden: true,
    onchange: () => {
      const files = [...(chosen.files ?? [])]
      chosen.value = ''
      if (files.length > 0) void takeFiles(files)
    },
  })
  const folder = el('input', {
    type: 'file',
    multiple: true,
    webkitdirectory: true,
    hidden: true,
    onchange: () => {
      const files = [...(folder.files ?? [])].filter(({ name }) => !name.startsWith('.'))
      folder.value = ''
      if (files.length > 0) void takeFiles(files)
    },
  })
  const head = el(
    'div',
    { class: 'buttons' },
    button('Choose a video or pictures', () => chosen.click(), {
      title: 'Several videos, or several series of pictures, are measured one after the other',
    }),
    button('Choose a folder', () => folder.click()),
    button('Try with the invented demo', () => void take(async () => ({ source: openDemo() }), takeDemo)),
    chosen,
    folder,
  )
  const parts = [
    scalePart(session, toPicture),
    timePart(session),
    dropPart(session, toPicture, () => void measuring.makeBath()),
    createRunPart(session, measuring),
  ]
  const title = el('p', { class: 'video-name' })
  const points = el('div', { class: 'video-points' })
  const adding = el('div', { class: 'video-adding' })
  const fingers = el('div', { class: 'video-fingers', hidden: true })
  const byHand = button('Radius by hand, three points', () => {
    startPlacing(session, 'outline')
    toPicture()
  })
  const timeline = el('div', { class: 'timeline' })
  const steps = el(
    'div',
    { class: 'buttons' },
    button('‹ Frame', () => stepper.step(-1), { 'aria-label': 'One frame back' }),
    button('Frame ›', () => stepper.step(1), { 'aria-label': 'One frame on' }),
    byHand,
  )
  const setup = el('div', { class: 'video-setup' }, ...parts.map((part) => part.root))
  rest.append(
    el('div', { class: 'video-left' }, title, stage, timeline, steps, points, fingers),
    el('div', {}, setup, adding),
  )
  const cameraNote = createCameraNote(session, () => {
    getBarePicture(session).catch((error: Error) => tell(error.message))
  })
  const forgetCamera = followCamera(session)
  shelf = createRecordingShelf({
    store,
    session,
    keeper,
    take,
    goOnWith,
    stepper,
    changed: () => {
      keptList.update()
      form?.update()
    },
  })
  form = createAddForm(adding, session, store, shelf, (curve) => {
    if (shelf!.added(curve)) return
    keeper.finish((then) => onceKept(store, then))
  })
  root.append(
    el('p', { class: 'note' }, about),
    head,
    opening,
    keptList.root,
    shelf.root,
    cameraNote.root,
    rest,
  )
  opening.textContent = startText

  const views = [
    createViewer(stage, session, stepper, tell),
    createTimeline(timeline, session, stepper),
    createPoints(points, session, stepper),
    createFringesFold(root, store, session),
    createFingerPlot(fingers, session, store),
    form,
  ]
  const update = () => {
    const state = session.getState()
    rest.hidden = state.source === null
    const running = state.run.state === 'running'
    for (const item of steps.querySelectorAll('button')) item.disabled = running
    if (state.source) {
      title.textContent = titleOf(state.source)
    }
    for (const part of parts) part.update(state)
  }
  update()
  const unsubscribe = session.subscribe((state, before) => {
    if (
      state.shot !== before.shot ||
      state.settings !== before.settings ||
      state.bare !== before.bare ||
      state.made !== before.made ||
      state.run.state !== before.run.state
    ) {
      measuring.refresh()
    }
    update()
  })
  const stopDrops = acceptDrops(root, (data) => void droppedFiles(data).then(takeFiles))
  const onKey = (event: KeyboardEvent) => {
    const undo = (event.ctrlKey || event.metaKey) && !event.shiftKey && event.key.toLowerCase() === 'z'
    if (!undo || (event.target as HTMLElement).matches('input[type=text]')) return
    if (undoCorrection(session)) event.preventDefault()
  }
  root.addEventListener('keydown', onKey)
  const onHide = () => keeper.rescue()
  const onHidden = () => {
    if (document.visibilityState === 'hidden') keeper.rescue()
  }
  const onLeave = (event: BeforeUnloadEvent) => {
    keeper.rescue()
    if (keeper.behind) event.preventDefault()
  }
  document.addEventListener('visibilitychange', onHidden)
  addEventListener('pagehide', onHide)
  addEventListener('beforeunload', onLeave)
  return {
    take: (files) => void takeFiles(files),
    destroy() {
      measuring.stop()
      unsubscribe()
      forgetCamera()
      shelf?.destroy()
      stopDrops()
      root.removeEventListener('keydown', onKey)
      document.removeEventListener('visibilitychange', onHidden)
      removeEventListener('pagehide', onHide)
      removeEventListener('beforeunload', onLeave)
      keeper.destroy()
      for (const view of views) view.destroy()
      session.getState().source?.close()
      client.destroy()
      root.replaceChildren()
    },
  }
}

const ways = { 'own-times': ', every frame by its own time', seeking: ', by seeking' } as const

const titleOf = ({ name, width, height, way }: FrameSource): string =>
  `${name}, read at ${width} × ${height} px${way ? ways[way] : ''}`

const about =
  'A video or still pictures, seen from above, become a radius–time curve. Everything is done on this machine; nothing is sent anywhere.'
const startText = 'Choose files or folders, or drop them here.'

const notKept = 'They stay here until the page is closed. Add them to the measured curves.'

/** Calls back once the measured curves are kept as they are now: until then the unfinished work is all there is. */
function onceKept(store: Store, then: () => void): void {
  const end = store.subscribe(({ keeping }, before) => {
    if (keeping.state !== 'kept' || before.keeping.state !== 'saving') return
    end()
    then()
  })
}

/** The picture of the bath alone, from a recording that was gone on with. */
async function getBarePicture(session: SessionStore): Promise<void> {
  const { source, bareAt, bare } = session.getState()
  if (!source || source.withoutPictures || bareAt === null || bare) return
  const shot = await source.at(bareAt)
  if (!shot.frame) return
  const found = { ...shot, frame: shot.frame }
  session.setState(({ readWith }) => ({
    bare: found,
    bareAt: null,
    readWith: readWith && { ...readWith, bare: found },
  }))
}

/** Files dropped on the panel are recordings, not tables. */
function acceptDrops(root: HTMLElement, take: (data: DataTransfer) => void): () => void {
  const over = (event: DragEvent) => {
    if (!event.dataTransfer?.types.includes('Files')) return
    event.preventDefault()
  }
  const drop = (event: DragEvent) => {
    if (!event.dataTransfer?.files.length) return
    event.preventDefault()
    event.stopPropagation()
    document.body.classList.remove('dropping')
    take(event.dataTransfer)
  }
  root.addEventListener('dragover', over)
  root.addEventListener('drop', drop)
  return () => {
    root.removeEventListener('dragover', over)
    root.removeEventListener('drop', drop)
  }
}
