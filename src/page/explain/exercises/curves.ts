/** The two curves R(t) that belong to a task, called A and B; told apart by dash and name. */
import { seriesAt } from '../../../life/sample.ts'
import type { Life } from '../../../life/types.ts'
import { duration, length } from '../../format.ts'
import { keyParts } from '../../plots/cursorKeys.ts'
import { Figure, plotColours } from '../../plots/figure.ts'
import type { Panel } from '../../plots/plotData.ts'
import { paperColours } from '../../plots/seriesColours.ts'
import { radiusPanel } from '../../plots/tracesModel.ts'
import { roundUp } from '../../spans.ts'
import { seriesStyles } from '../../theme.ts'

const endOf = ({ series }: Life): number => series.t.at(-1) ?? 0

function panelOf(a: Life, b: Life, dark: boolean, lifeColour: string): Panel {
  const timeSpan = roundUp(1.02 * Math.max(endOf(a), endOf(b)), 10)
  const pins = [{ id: 'B', label: 'B', life: b, ...seriesStyles[0]! }]
  const panel = radiusPanel(a, { timeSpan, dark, lifeColour, pins, measured: [] })
  return {
    ...panel,
    title: 'Radius of two drops',
    lines: panel.lines.map((line) =>
      line.key === 'R' ? { ...line, label: 'A', column: 'R_mm (A)' } : { ...line, width: 2 },
    ),
  }
}

export class TwoCurves {
  private readonly figure: Figure
  private lives: readonly [Life, Life] | null = null
  private dark = false
  private time = 0

  constructor(root: HTMLElement) {
    this.figure = new Figure(root, {
      label: 'Time along the curves A and B',
      right: 40,
      top: 17,
      leastHeight: 90,
      saved: () => {
        if (!this.lives) return null
        const panels = [panelOf(...this.lives, false, paperColours.life)]
        return { panels, title: 'Radius of two drops', subtitle: '', name: 'two curves' }
      },
      point: (time) => this.moveTo(time),
      resized: () => this.draw(),
    })
    this.figure.area.addEventListener('keydown', (event) => {
      const by = keyParts[event.key]
      if (by === undefined || event.ctrlKey || event.metaKey || event.altKey) return
      event.preventDefault()
      this.moveTo(this.time + by * this.end)
    })
  }

  private get end(): number {
    return this.lives ? Math.max(...this.lives.map(endOf)) : 0
  }

  private moveTo(time: number): void {
    this.time = Math.min(Math.max(time, 0), this.end)
    this.tell()
  }

  private tell(): void {
    if (!this.lives) return
    const at = (life: Life) => length(seriesAt(life.series, this.time).R)
    const words = `A ${at(this.lives[0])}, B ${at(this.lives[1])}`
    this.figure.setCursor(this.time, { radius: words })
    this.figure.setWords(0, this.end, this.time, `${duration(this.time)} after touch-down: ${words}`)
  }

  show(lives: readonly [Life, Life], dark: boolean): void {
    if (lives[0] !== this.lives?.[0]) this.time = lives[0].summary.maxRadiusTime
    this.lives = lives
    this.dark = dark
    this.draw()
  }

  private draw(): void {
    if (!this.lives) return
    const colours = plotColours(this.dark)
    this.figure.update([panelOf(...this.lives, this.dark, colours.life)], colours, false)
    this.tell()
  }

  destroy(): void {
    this.figure.destroy()
  }
}
