/** The canvas and the scene on it, if this browser gives one; what is wrong with it in words. */
import { el } from '../dom.ts'
import { StageScene } from './scene.ts'

export class Surface {
  readonly canvas = el('canvas', { class: 'stage-canvas', role: 'img' })
  readonly failure = el('p', { class: 'stage-failure', role: 'status', hidden: true })
  readonly scene: StageScene | null

  /** @param back called when the graphics memory has come back: all must be drawn anew */
  constructor(private readonly back: () => void) {
    this.scene = this.makeScene()
    if (!this.scene) return
    this.canvas.addEventListener('webglcontextlost', this.lost)
    this.canvas.addEventListener('webglcontextrestored', this.restored)
  }

  private makeScene(): StageScene | null {
    const context = this.canvas.getContext('webgl2', { antialias: true, alpha: true })
    if (!context) {
      this.say(
        'This browser gives no WebGL2, so the drop is drawn as an outline. All plots and numbers go on.',
      )
      return null
    }
    try {
      return new StageScene(this.canvas, context)
    } catch (error) {
      console.warn('The stage could not be set up.', error)
      this.say('The drop could not be drawn with WebGL2; its outline is shown. All plots and numbers go on.')
      return null
    }
  }

  private say(text: string): void {
    this.failure.textContent = text
    this.failure.hidden = text === ''
  }

  private readonly lost = (event: Event) => {
    event.preventDefault()
    this.say('The graphics memory was taken away for a moment. The picture comes back by itself.')
  }

  private readonly restored = () => {
    this.say('')
    this.back()
  }

  destroy(): void {
    this.canvas.removeEventListener('webglcontextlost', this.lost)
    this.canvas.removeEventListener('webglcontextrestored', this.restored)
    this.scene?.dispose()
  }
}
