/** The workbench for one recording: opened when it is first needed. */
import './video.css'
import { say } from '../actions.ts'
import { el } from '../dom.ts'
import { reasonOf } from '../measured/keeping.ts'
import { KEPT } from '../refuse.ts'
import type { Store, View } from '../store.ts'
import { createAddForm } from './addForm.ts'
import { createMarkClient } from './client.ts'
import { openDemo } from './demo.ts'
import { button } from './fields.ts'
import { keepWork, type WorkKeeper } from './keepingWork.ts'
import { createKeptList } from './keptList.ts'
import { createMeasuring } from './measuring.ts'
import { openFiles } from './open.ts'
import { createPoints } from './pointsTable.ts'
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
  const keptList = createKeptList(store, () => keeper, goOnWith)
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
    open: () => Promise<{ source: FrameSource; left: string[] }>,
    begin: (...given: Parameters<typeof takeSource>) => void = takeSource,
  ): Promise<void> {
    measuring.stop()
    opening.textContent = 'Opening …'
    try {
      const { source, left } = await open()
      const shot = await source.at(begin === takeDemo ? 1.5 : 0)
      const { source: last } = session.getState()
      const joins = last?.withoutPictures && sameRecording(last, source)
      const aside = joins ? null : keeper.setAside()
      begin(session, source, shot)
      await getBarePicture(session)
      if (aside)
        say(store, 'note', `The points of ${aside} are kept as unfinished.`, 'Get them back above the frame.')
      if (left.length > 0) {
        const names = left.slice(0, 4).join(', ')
        const more = left.length > 4 ? ` and ${left.length - 4} more` : ''
        say(store, 'warning', `Not taken: ${names}${more}.`, 'One video, or pictures, make one recording.')
      }
    } catch (error) {
      const own = error instanceof SourceProblem
      tell(own ? error.message : `The recording could not be opened (${(error as Error).message}).`)
    } finally {
      opening.textContent = session.getState().source ? '' : startText
    }
  }
  const takeFiles = (files: readonly File[]) => take(() => openFiles(files))

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
  const head = el(
    'div',
    { class: 'buttons' },
    button('Choose a video or pictures', () => chosen.click()),
    button(
      'Try with the invented demo',
      () => void take(async () => ({ source: openDemo(), left: [] }), takeDemo),
    ),
    chosen,
  )
  const parts = [
    scalePart(session, toPicture),
    timePart(session),
    dropPart(session, toPicture),
    createRunPart(session, measuring),
  ]
  const title = el('p', { class: 'video-name' })
  const points = el('div', { class: 'video-points' })
  const adding = el('div', { class: 'video-adding' })
  const byHand = button('Radius by hand, three points', () => {
    startPlacing(session, 'outline')
    toPicture()
  })
  const steps = el(
    'div',
    { class: 'buttons' },
    button('‹ Frame', () => stepper.step(-1), { 'aria-label': 'One frame back' }),
    button('Frame ›', () => stepper.step(1), { 'aria-label': 'One frame on' }),
    byHand,
  )
  const setup = el('div', { class: 'video-setup' }, ...parts.map((part) => part.root))
  rest.append(el('div', { class: 'video-left' }, title, stage, steps, points), el('div', {}, setup, adding))
  root.append(el('p', { class: 'note' }, about), head, opening, keptList.root, rest)
  opening.textContent = startText

  const views = [
    createViewer(stage, session, stepper, tell),
    createPoints(points, session, stepper),
    createAddForm(adding, session, store, () => keeper.finish((then) => onceKept(store, then))),
  ]
  const update = () => {
    const state = session.getState()
    rest.hidden = state.source === null
    const running = state.run.state === 'running'
    for (const item of steps.querySelectorAll('button')) item.disabled = running
    if (state.source) {
      const { name, width, height } = state.source
      title.textContent = `${name}, read at ${width} × ${height} px`
    }
    for (const part of parts) part.update(state)
  }
  update()
  const unsubscribe = session.subscribe((state, before) => {
    if (
      state.shot !== before.shot ||
      state.settings !== before.settings ||
      state.bare !== before.bare ||
      state.run.state !== before.run.state
    ) {
      measuring.refresh()
    }
    update()
  })
  const stopDrops = acceptDrops(root, (files) => void takeFiles(files))
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

const about =
  'A video or still pictures, seen from above, become a radius–time curve. Everything is done on this machine; nothing is sent anywhere.'
const startText = 'Choose a file or drop it here.'

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
function acceptDrops(root: HTMLElement, take: (files: File[]) => void): () => void {
  const over = (event: DragEvent) => {
    if (!event.dataTransfer?.types.includes('Files')) return
    event.preventDefault()
  }
  const drop = (event: DragEvent) => {
    const files = [...(event.dataTransfer?.files ?? [])]
    if (files.length === 0) return
    event.preventDefault()
    event.stopPropagation()
    document.body.classList.remove('dropping')
    take(files)
  }
  root.addEventListener('dragover', over)
  root.addEventListener('drop', drop)
  return () => {
    root.removeEventListener('dragover', over)
    root.removeEventListener('drop', drop)
  }
}
