/** Thickness from fringes: a picture, what is known about it, and the thickness that follows, over the simulated one. */
import { typedInBox } from '../../numerics/typedNumber.ts'
import './fringes.css'
import type { Task } from '../../measured/fringes/read.ts'
import type { Frame } from '../../measured/video/types.ts'
import { el, oncePerFrame } from '../dom.ts'
import { plain } from '../format.ts'
import { stackOf } from '../stage/look.ts'
import { type Store, type View, watch } from '../store.ts'
import { button } from '../video/fields.ts'
import { type SessionStore, scaleOf, slowing } from '../video/session.ts'
import { createFringesClient } from './client.ts'
import { filmColours } from './colours.ts'
import { demoMoment, demoName, drawDemo } from './demo.ts'
import { createForm } from './form.ts'
import { caution, explanation, invitation, resultWords } from './fringeWords.ts'
import { type Inputs, plainInputs, readInputs, type Said } from './inputs.ts'
import type { Shown } from './panels.ts'
import { createPictureView } from './picture.ts'
import { createFringePlot } from './plot.ts'
import { filmAt } from './simulated.ts'
import { mixtureIndexNote } from './sources.ts'

interface Picture {
  frame: Frame
  name: string
  outline: Float32Array | null
  /** Centre and radius to which the outline belongs, as written in the fields. */
  outlineAt: string
}

/** Half width of the sector that is read in one direction, rad. */
const SECTOR = (8 * Math.PI) / 180
/** Rest after the last keystroke before a picture is read, ms. */
const REST = 350

const round = { c2: 0, s2: 0 }

const placeText = ({ x, y, radius }: Inputs): string => `${x} ${y} ${radius}`

export function createFringes(root: HTMLElement, store: Store, session: SessionStore): View {
  const client = createFringesClient()
  let inputs = plainInputs()
  let picture: Picture | null = null
  let shown: Shown | null = null
  let asked = 0
  let timer = 0
  const draw = oncePerFrame(render)
  const form = createForm((change) => {
    inputs = { ...inputs, ...change }
    ask()
  })
  const view = createPictureView()
  const plot = createFringePlot(draw)
  const result = el('p', { class: 'lead', role: 'status' })
  const problems = el('ul', { class: 'problem' })
  const notes = el('ul', { class: 'note' })
  const name = el('p', { class: 'video-name' })
  const why = el('p', { class: 'note' })
  const take = button('Read the shown frame', takeShown)
  const work = el(
    'div',
    { class: 'fringes-work', hidden: true },
    el('div', { class: 'fringes-left' }, name, view.root, result, problems, plot.root, notes),
    form.root,
  )
  root.append(
    el('p', {}, invitation),
    el('div', { class: 'buttons' }, take, button('Try an invented picture', takeDemo)),
    why,
    work,
    el('p', { class: 'note' }, explanation),
    el('p', { class: 'note' }, mixtureIndexNote),
    el('p', { class: 'note' }, caution),
  )

  const stack = () => stackOf(store.getState().life?.preset ?? store.getState().preset)
  const momentOf = () => typedInBox(inputs.moment)
  const filmNow = () => filmAt(store.getState().life, Number.isFinite(momentOf()) ? momentOf() : 0)
  const indexNow = (wavelength: number, time: number): string => {
    const film = filmAt(store.getState().life, time)
    return stack()
      .film(film?.meanPhi ?? 0.5, wavelength)
      .toFixed(4)
  }

  function begin(next: Picture, change: Partial<Inputs>): void {
    picture = next
    shown = null
    inputs = { ...inputs, ...change }
    inputs.index = indexNow(589.3e-9, momentOf() || 0)
    picture.outlineAt = placeText(inputs)
    ask(0)
  }

  function takeShown(): void {
    const state = session.getState()
    const { shot, marked, source } = state
    if (!shot?.frame) return
    const drop = marked?.drop ?? null
    const scale = scaleOf(state)
    const time = Math.max(0, (shot.time - state.start) / slowing(state))
    const radius = drop?.equivalentRadius
    const radiusMm = radius && scale?.ok ? (1e3 * radius * scale.scale.metresPerPixel).toFixed(3) : ''
    begin(
      {
        frame: shot.frame,
        name: `${source?.name ?? ''}, ${plain(shot.time, 4)} s`,
        outline: drop?.outline ?? null,
        outlineAt: '',
      },
      {
        x: (drop?.x ?? shot.frame.width / 2).toFixed(1),
        y: (drop?.y ?? shot.frame.height / 2).toFixed(1),
        radius: radius ? radius.toFixed(1) : '',
        radiusMm,
        moment: String(Number(time.toPrecision(4))),
      },
    )
  }

  function takeDemo(): void {
    const { life } = store.getState()
    const time = life ? demoMoment(life) : Number.NaN
    const wavelength = 1e-9 * typedInBox(inputs.wavelength) || 589.3e-9
    const demo = life && Number.isFinite(time) ? drawDemo(life, time, inputs.light, wavelength) : null
    if (!demo) {
      why.textContent =
        'The present drop has no film thin enough for fringes: choose one that spreads, for example one with more alcohol, then try again.'
      return
    }
    const { frame, film, x, y, radius } = demo
    const place = Number((0.5e3 * film.rim).toFixed(1))
    begin(
      { frame, name: demoName, outline: null, outlineAt: '' },
      {
        x: (x + 0.6).toFixed(1),
        y: (y - 0.5).toFixed(1),
        radius: String(radius),
        radiusMm: (1e3 * film.rim).toFixed(3),
        known: 'place',
        knownRadius: String(place),
        knownThickness: (1e6 * film.h(1e-3 * place)).toFixed(2),
        knownSigma: '20',
        outward: 'thinner',
        direction: '',
        moment: String(Number(film.time.toPrecision(4))),
      },
    )
  }

  function taskOf(said: Said): Task {
    const { where, film, wavelength, wavelengthSigma, known } = said
    const own = picture?.outlineAt === placeText(inputs) ? picture.outline : null
    const sector = where.angle === null ? null : { angle: where.angle, halfWidth: SECTOR }
    const place = { x: where.x, y: where.y, radius: where.radius, outline: own, scale: where.scale, sector }
    const layers = stack()
    if (inputs.light === 'one') {
      const bath = layers.bath(wavelength)
      const wish = { wavelength, wavelengthSigma, film: { ...film, bath }, known, outward: inputs.outward }
      return { where: place, light: { kind: 'one', wish } }
    }
    const phi = filmNow()?.meanPhi ?? 0.5
    const table = filmColours(layers, phi)
    // Colours go with the product of thickness and index.
    const step = (table.step * layers.film(phi, 589.3e-9)) / film.index
    const wish = { colours: { ...table, step }, index: film.index, indexSigma: film.indexSigma }
    return { where: place, light: { kind: 'white', wish } }
  }

  function say(sentences: readonly string[]): void {
    problems.replaceChildren(...sentences.map((text) => el('li', {}, text)))
  }

  function ask(rest = REST): void {
    asked++
    window.clearTimeout(timer)
    draw()
    if (picture) timer = window.setTimeout(() => void read(), rest)
  }

  async function read(): Promise<void> {
    const mine = asked
    const given = readInputs(inputs)
    if (!picture) return
    if (!given.ok) {
      shown = null
      result.textContent = ''
      say(given.problems)
      draw()
      return
    }
    say([])
    result.textContent = 'Reading …'
    try {
      const reading = await client.read(picture.frame, taskOf(given.said))
      if (mine !== asked) return
      shown = reading.ok
        ? {
            thickness: reading.thickness,
            brightness: reading.brightness,
            shape: reading.shape,
            film: filmNow(),
          }
        : null
      if (!reading.ok) say([reading.message])
    } catch (error) {
      if (mine !== asked) return
      shown = null
      say([
        `The picture could not be read (${error instanceof Error ? error.message : 'no reason given'}). Try once more.`,
      ])
    }
    result.textContent = shown ? resultWords(shown) : ''
    draw()
  }

  function render(): void {
    const { shot, source } = session.getState()
    take.disabled = !shot?.frame
    if (shot?.frame || picture) why.textContent = ''
    else if (why.textContent === '')
      why.textContent = source
        ? ''
        : 'Choose a picture above (a single one will do), set its scale, then read it here.'
    work.hidden = picture === null
    if (!picture) return
    name.textContent = picture.name
    form.update(inputs)
    const given = readInputs(inputs)
    view.show(picture.frame, given.ok ? { ...round, ...given.said.where, ...shown?.shape } : null)
    plot.root.hidden = shown === null
    notes.replaceChildren(...(shown?.thickness.notes ?? []).map((text) => el('li', {}, text)))
    if (shown) {
      shown = { ...shown, film: filmNow() }
      plot.show(
        shown,
        store.getState().dark,
        'Thickness from fringes',
        `${picture.name}; ${result.textContent}`,
      )
    }
  }

  render()
  const endSession = session.subscribe(draw)
  const endStore = watch(
    store,
    ({ life, dark }) => [life, dark],
    () => {
      draw()
      if (shown) result.textContent = resultWords({ ...shown, film: filmNow() })
    },
  )
  return {
    destroy() {
      window.clearTimeout(timer)
      asked++
      endSession()
      endStore()
      plot.destroy()
      client.destroy()
      root.replaceChildren()
    },
  }
}
