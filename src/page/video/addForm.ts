/** From the points to a measured curve of the page. */
import { readName } from '../../measured/nameReading.ts'
import type { CurveMeta, MeasuredCurve } from '../../measured/types.ts'
import { metaOf } from '../../measured/video/series.ts'
import { say } from '../actions.ts'
import { el } from '../dom.ts'
import { whereListed } from '../measured/listed.ts'
import { metaWords } from '../measured/runNames.ts'
import type { Store, View } from '../store.ts'
import { type Become, becomeCurves } from './becomingCurves.ts'
import { choiceField, group, textField } from './fields.ts'
import { hashOnce } from './hashing.ts'
import { makeCurve } from './making.ts'
import { type RecordingShelf, undoRenewal } from './recordingShelf.ts'
import type { SessionStore } from './session.ts'

const noContact = 'Nobody said where the drop touches down: its times count from the first frame.'

/** What is stated otherwise than by the fields of the form. */
function besideFields({
  alcoholFraction: _,
  fractionBasis: __,
  volume_uL: ___,
  ...rest
}: CurveMeta): CurveMeta {
  return rest
}

export interface AddForm extends View {
  /** What is stated of the recording elsewhere may have changed. */
  update(): void
}

/** `added` is called with the measured curve that the points have become. */
export function createAddForm(
  root: HTMLElement,
  session: SessionStore,
  store: Store,
  shelf: Pick<RecordingShelf, 'links' | 'recording' | 'statedHere'>,
  added: (curve: MeasuredCurve) => void,
): AddForm {
  let basis: 'mass' | 'volume' = 'mass'
  const name = textField('Name', '', () => {}, { inputmode: 'text' })
  const fraction = textField('Alcohol', '%', () => {})
  const by = choiceField(
    'by',
    [
      ['mass', 'mass'],
      ['volume', 'volume'],
    ] as const,
    (value) => {
      basis = value
    },
  )
  const volume = textField('Drop volume', 'µL', () => {})
  let alcohol: string | undefined
  const fromName = el('p', { class: 'note' })
  const problem = el('p', { class: 'problem', role: 'alert' })
  const add = el('button', { type: 'submit', class: 'main' }, 'Add to measured curves')

  async function submit(event: Event): Promise<void> {
    event.preventDefault()
    problem.textContent = ''
    const { source, id } = session.getState()
    if (!source) return
    const note = source.kind === 'demo' ? 'invented demo recording' : ''
    const meta = metaOf(fraction.input.value, basis, volume.input.value, note)
    if (!meta.ok) {
      problem.textContent = meta.message
      ;(meta.field === 'fraction' ? fraction : volume).input.focus()
      return
    }
    const sha256 = source.files ? await hashOnce(source.files) : undefined
    if (session.getState().id !== id) return
    const kind = alcohol && meta.meta.alcoholFraction !== undefined ? { alcohol } : {}
    const whole = { ...kind, ...besideFields(shelf.statedHere().meta), ...meta.meta }
    const result = makeCurve(session.getState(), { name: name.input.value, meta: whole, sha256 })
    if (!result.ok) problem.textContent = result.message
    else
      becomeCurves(
        store,
        shelf.links,
        [{ of: shelf.recording(), fresh: result.curve }],
        result.curve.name,
        ([become]) => {
          if (session.getState().id === id) tell(become!)
        },
      )
  }

  function tell({ kind, curve }: Become): void {
    if (kind === 'same') {
      problem.textContent = 'This very curve is among the measured curves already.'
      return
    }
    added(curve)
    const { words, action } = whereListed(store)
    const contact = session.getState().startKnown === 'no' ? ` ${noContact}` : ''
    const what = `${curve.name}: ${curve.time.length} points from the recording are`
    if (kind === 'renew')
      say(store, 'note', `${what} in the place of its earlier ones.${contact}`, undoRenewal)
    else say(store, 'note', `${what} among the measured curves.${contact}`, words, action)
  }

  /** What is stated of the recording, else what its name says, is laid into the fields, where it can be seen and changed. */
  function takeName(text: string, stated: CurveMeta): void {
    const { meta, doubt } = readName(text)
    const own = stated.alcoholFraction !== undefined
    const { alcoholFraction, fractionBasis, volume_uL, alcohol: kind } = meta
    const said: CurveMeta = {
      ...(own || alcoholFraction === undefined ? {} : { alcoholFraction }),
      ...(own || fractionBasis === undefined ? {} : { fractionBasis }),
      ...(stated.volume_uL !== undefined || volume_uL === undefined ? {} : { volume_uL }),
      ...(stated.alcohol !== undefined || kind === undefined ? {} : { alcohol: kind }),
    }
    const all = { ...said, ...stated }
    alcohol = said.alcohol
    fraction.input.value =
      all.alcoholFraction === undefined ? '' : String(Number((100 * all.alcoholFraction).toPrecision(9)))
    volume.input.value = all.volume_uL === undefined ? '' : String(all.volume_uL)
    basis = all.fractionBasis ?? 'mass'
    by.input.value = basis
    const words = metaWords(said)
    fromName.textContent = [
      words ? `From the name: ${words}.` : '',
      doubt && said.alcoholFraction !== undefined ? `Of the name: ${doubt}.` : '',
    ]
      .filter(Boolean)
      .join(' ')
  }

  const form = el(
    'form',
    { onsubmit: submit },
    group('Keep as a measured curve', name.row, fraction.row, by.row, volume.row, fromName, problem, add),
  )
  root.append(form)
  let shown: unknown = null
  let given = ''
  const update = () => {
    const { source, readings } = session.getState()
    root.hidden = readings.size === 0
    const { name: own, meta } = shelf.statedHere()
    const { alcoholFraction, fractionBasis, volume_uL } = meta
    const now = JSON.stringify([own, alcoholFraction, fractionBasis, volume_uL])
    if (source === shown && now === given) return
    shown = source
    given = now
    const file = source ? source.name.replace(/\.[^.]{1,5}$/, '') : ''
    name.input.value = own ?? file
    takeName(file, meta)
    problem.textContent = ''
  }
  update()
  const ends = [
    session.subscribe(update),
    store.subscribe(({ measured, stated }, before) => {
      if (measured !== before.measured || stated !== before.stated) update()
    }),
  ]
  return {
    update,
    destroy() {
      for (const end of ends) end()
      root.replaceChildren()
    },
  }
}
