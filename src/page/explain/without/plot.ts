/** R(t) of both drops in one small plot; also the clock of both: a point of it sets the moment. */
import { offNotice } from '../../../life/mechanisms.ts'
import { seriesAt } from '../../../life/sample.ts'
import type { Life } from '../../../life/types.ts'
import { setTime } from '../../actions.ts'
import { duration, length } from '../../format.ts'
import { keyParts } from '../../plots/cursorKeys.ts'
import { Figure, plotColours } from '../../plots/figure.ts'
import type { Line, Panel } from '../../plots/plotData.ts'
import { paperColours } from '../../plots/seriesColours.ts'
import { radiusPanel } from '../../plots/tracesModel.ts'
import type { State, Store } from '../../store.ts'
import { seriesStyles } from '../../theme.ts'

export interface Pair {
  own: Life
  other: Life | null
  /** What sets the other apart: "without evaporation". */
  words: string
  /** The shown lives are those of an older drop or choice. */
  old: boolean
}

/** Names at the lines' ends are short; the whole words stand in the legend and in the table. */
const NAMES = ['as it is', 'changed']

/** Both curves as a panel. @param timeSpan right end of the time axis, s */
export function pairPanel(
  { own, other, words }: Pair,
  timeSpan: number,
  dark: boolean,
  lifeColour: string,
): Panel {
  const style = seriesStyles[0]!
  const pins = other ? [{ id: 'changed', label: words, life: other, ...style }] : []
  const panel = radiusPanel(own, { timeSpan, dark, lifeColour, pins, measured: [] })
  const named = (line: Line): Line =>
    line.key === 'R'
      ? { ...line, label: NAMES[0]!, column: 'R_mm (as it is)' }
      : { ...line, label: NAMES[1]!, width: 2 }
  return { ...panel, title: 'Radius of both drops', lines: panel.lines.map(named) }
}

export class PairPlot {
  private readonly figure: Figure
  private readonly store: Store
  private pair: Pair | null = null
  private drawn: unknown[] = []

  constructor(root: HTMLElement, store: Store, resized: () => void) {
    this.store = store
    this.figure = new Figure(root, {
      label: 'Time along the radius curves of both drops',
      right: 62,
      top: 17,
      leastHeight: 90,
      saved: () => this.saved(),
      point: (time) => setTime(store, time),
      resized: () => {
        this.drawn = []
        resized()
      },
    })
    this.figure.area.addEventListener('keydown', (event) => this.key(event))
  }

  private key(event: KeyboardEvent): void {
    const by = keyParts[event.key]
    if (by === undefined || event.ctrlKey || event.metaKey || event.altKey) return
    event.preventDefault()
    const { time, timeSpan } = this.store.getState()
    setTime(this.store, time + by * timeSpan)
  }

  private saved() {
    if (!this.pair) return null
    const { own, other, words } = this.pair
    return {
      panels: [pairPanel(this.pair, this.store.getState().timeSpan, false, paperColours.life)],
      title: `Radius as it is and ${words}`,
      subtitle: own.preset.title,
      notice: offNotice(other?.preset ?? own.preset),
      name: `both ${own.preset.title}`,
    }
  }

  draw(pair: Pair, { timeSpan, dark, time }: State): void {
    this.pair = pair
    const { own, other, words, old } = pair
    const now = [own.frames, other?.frames, words, old, timeSpan, dark]
    if (now.some((value, i) => value !== this.drawn[i]) || this.drawn.length === 0) {
      const colours = plotColours(dark)
      this.figure.update([pairPanel(pair, timeSpan, dark, colours.life)], colours, old)
      this.drawn = now
    }
    const at = (life: Life) => length(seriesAt(life.series, time).R)
    const both = `as it is ${at(own)}${other ? `, changed ${at(other)}` : ''}`
    this.figure.setCursor(time, { radius: both })
    this.figure.setWords(0, timeSpan, time, `${duration(time)} after touch-down: ${both}`)
  }

  destroy(): void {
    this.figure.destroy()
  }
}
