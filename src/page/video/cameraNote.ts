/** One line on the settings that were taken over from the last recording of the same camera, with a way to begin afresh. */
import { el } from '../dom.ts'
import { type CameraSettings, cameraSentence, plainCamera, takeCamera } from './camera.ts'
import { button } from './fields.ts'
import type { SessionStore } from './session.ts'

export interface CameraNote {
  root: HTMLElement
  /** Settings were taken over for the recording in hand; null = none were. */
  told(camera: CameraSettings | null): void
}

/** `changed` is called when settings were changed here, so that the picture of the bath is got. */
export function createCameraNote(session: SessionStore, changed: () => void): CameraNote {
  const text = el('span', {})
  let camera: CameraSettings | null = null
  let afresh = false
  const turn = button('Begin afresh', () => {
    if (!camera) return
    afresh = !afresh
    takeCamera(session, afresh ? plainCamera() : camera)
    changed()
    show()
  })
  const root = el('p', { class: 'note video-camera', role: 'status', hidden: true }, text, ' ', turn)
  const show = () => {
    const said = camera ? cameraSentence(camera, session.getState()) : ''
    root.hidden = said === ''
    text.textContent = afresh
      ? 'The settings of the last recording are put aside.'
      : `As for the last recording of this camera: ${said}.`
    turn.textContent = afresh ? 'Take them again' : 'Begin afresh'
  }
  return {
    root,
    told(next) {
      camera = next
      afresh = false
      show()
    },
  }
}
