/** How far a sweep is, for people who wait: one line that changes on a terminal, else a line now and then. */

/** Time between two looks, ms, on a terminal and elsewhere. */
const LOOK = { terminal: 200, log: 60_000 }
/** The first line of a log comes sooner, ms. */
const FIRST = 10_000
/** The rate is that of the last so many ms. */
const WINDOW = 30_000

/** "1 h 05 min", "3 min 20 s", "12 s". */
export function durationWords(seconds: number): string {
  if (!Number.isFinite(seconds)) return '–'
  const whole = Math.max(0, Math.round(seconds))
  const [h, min, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60]
  if (h >= 48) return `${(h / 24).toFixed(1)} days`
  const two = (value: number) => String(value).padStart(2, '0')
  if (h > 0) return `${h} h ${two(min)} min`
  return min > 0 ? `${min} min ${two(s)} s` : `${s} s`
}

/** @param rate lives per second */
export function progressText(done: number, total: number, rate: number): string {
  const part = Math.floor((1000 * done) / Math.max(1, total)) / 10
  const speed =
    rate > 0 ? `, ${rate.toPrecision(3)} lives/s, ${durationWords((total - done) / rate)} to go` : ''
  return `${done} of ${total} lives (${part.toFixed(1)} %)${speed}`
}

export class Progress {
  private readonly timer: ReturnType<typeof setInterval>
  private readonly first: ReturnType<typeof setTimeout> | undefined
  private readonly marks: { at: number; done: number }[]
  private shown = false

  /**
   * @param done lives that were there before @param terminal whether the line may be written over
   */
  constructor(
    private done: number,
    private readonly total: number,
    private readonly write: (text: string) => void,
    private readonly terminal: boolean,
  ) {
    this.marks = [{ at: performance.now(), done }]
    this.timer = setInterval(() => this.show(), terminal ? LOOK.terminal : LOOK.log)
    this.first = terminal ? undefined : setTimeout(() => this.show(), FIRST)
  }

  add(): void {
    this.done++
  }

  private rate(): number {
    const now = performance.now()
    const last = this.marks.at(-1)!
    if (now - last.at > 1000) this.marks.push({ at: now, done: this.done })
    while (this.marks.length > 2 && now - this.marks[1]!.at > WINDOW) this.marks.shift()
    const [from] = this.marks
    return (1000 * (this.done - from!.done)) / (now - from!.at)
  }

  private show(): void {
    const text = progressText(this.done, this.total, this.rate())
    this.write(this.terminal ? `\r${text}\x1b[K` : `${text}\n`)
    this.shown = true
  }

  /** Clears the line of a terminal, so that what follows begins at its start. */
  end(): void {
    clearInterval(this.timer)
    clearTimeout(this.first)
    if (this.terminal && this.shown) this.write('\r\x1b[K')
  }
}
