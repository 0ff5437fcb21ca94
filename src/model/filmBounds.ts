/**
 * Physical bounds of the film's contents: 0 ≤ alcohol ≤ volume in every cell. A step may overdraw a nearly dry cell by a
 * little; it is paid back by exchange between cells, so that nothing is made or lost.
 */

/** A step may leave a cell this far below zero (m), or this part of its thicker neighbour, before it is refused. */
interface Overdraft {
  depth: number
  share: number
}
const USUAL: Overdraft = { depth: 1e-8, share: 0.01 }
/**
 * For a state that is overdrawn in every step: an empty cell is then filled by the equations and emptied by the error of the
 * step, the same each time, until shorter steps let it fill.
 */
const STRICT: Overdraft = { depth: 1e-10, share: 0 }

/** Where the contents of cell i stand in a state: X at i·block, P at i·block + 1; cell volumes are X·area. */
interface ContentLayout {
  cells: number
  block: number
  area: Float64Array
}

/** Places in a state of the books of what has left, by volume and by alcohol. */
export interface BookPlaces {
  lostAlcohol: number
  child: [volume: number, alcohol: number]
}

/** So many steps in a row may overdraw a cell before shorter ones are asked for. */
const PATIENCE = 400

/** Watches the contents of a film through a run. */
export class FilmBounds {
  private readonly shedBefore: [number, number] = [0, 0]
  /** Steps in a row that overdrew a cell. */
  private mended = 0
  private overdraft = USUAL

  constructor(
    private readonly layout: ContentLayout,
    private readonly books: BookPlaces,
  ) {}

  /** Forgets the run so far. */
  reset(): void {
    this.shedBefore[0] = this.shedBefore[1] = 0
    this.mended = 0
    this.overdraft = USUAL
  }

  /** Whether no cell of a new state is overdrawn beyond what `mend` may mend; R in m. */
  allows(y: Float64Array, R: number): boolean {
    return withinBounds(y, this.layout, R, this.overdraft)
  }

  /** Brings an accepted state within the bounds; nothing is made or lost. */
  mend(y: Float64Array): void {
    this.keepShed(y, 0)
    this.keepShed(y, 1)
    this.returnOverdraft(y)
    this.mended = repairBounds(y, this.layout) ? this.mended + 1 : 0
    this.giveSurplus(y)
    this.overdraft = this.mended > PATIENCE ? STRICT : USUAL
  }

  /** Where the error of a step evaporated more alcohol than there was, the book of the lost gives it back. */
  private returnOverdraft(y: Float64Array): void {
    const { cells, block, area } = this.layout
    let sum = 0
    for (let i = 0; i < cells; i++) sum += area[i] * y[i * block + 1]
    if (sum >= 0) return
    for (let i = 0; i < cells; i++) y[i * block + 1] = 0
    y[this.books.lostAlcohol] += sum
  }

  /** Where there is no water left to exchange, alcohol beyond a cell's volume (an error of the step) goes to the book of the lost. */
  private giveSurplus(y: Float64Array): void {
    const { cells, block, area } = this.layout
    for (let i = 0; i < cells; i++) {
      const surplus = y[i * block + 1] - Math.max(0, y[i * block])
      if (!(surplus > 0)) continue
      y[i * block + 1] -= surplus
      y[this.books.lostAlcohol] += area[i] * surplus
    }
  }

  /** Child drops do not come back: what the error of a step took from their book is paid by the film. */
  private keepShed(y: Float64Array, offset: 0 | 1): void {
    const { shedBefore } = this
    const { cells, block, area } = this.layout
    const book = this.books.child[offset]
    const missing = shedBefore[offset] - y[book]
    if (missing > 0) {
      let sum = 0
      for (let i = 0; i < cells; i++) sum += area[i] * Math.max(0, y[i * block + offset])
      if (sum > missing) {
        const keep = 1 - missing / sum
        for (let i = 0; i < cells; i++) if (y[i * block + offset] > 0) y[i * block + offset] *= keep
        y[book] = shedBefore[offset]
      }
    }
    shedBefore[offset] = Math.max(0, y[book])
  }
}

/** Whether no cell is overdrawn beyond what repair may mend; R in m. */
function withinBounds(
  y: Float64Array,
  { cells, block }: ContentLayout,
  R: number,
  { depth, share }: Overdraft,
): boolean {
  const deep = depth * R * R
  for (let i = 0; i < cells; i++) {
    const X = y[i * block]
    if (X > 0) continue
    const beside = Math.max(i > 0 ? y[(i - 1) * block] : 0, i + 1 < cells ? y[(i + 1) * block] : 0)
    if (!(X > -deep - share * beside)) return false
  }
  return true
}

/** Brings a state within the bounds; true if a cell's volume had to be mended. */
function repairBounds(y: Float64Array, layout: ContentLayout): boolean {
  const { cells, block } = layout
  let overdrawn = false
  let volumeLeft = false
  let alcoholLeft = false
  for (let i = 0; i < cells; i++) {
    const at = i * block
    if (!(y[at] < 0)) continue
    overdrawn = true
    volumeLeft = !borrowVolume(y, i, layout) || volumeLeft
  }
  if (volumeLeft) share(y, layout, 'volume')
  for (let i = 0; i < cells; i++) {
    const at = i * block
    if (y[at + 1] < 0 || y[at + 1] > y[at]) alcoholLeft = !borrowAlcohol(y, i, layout) || alcoholLeft
  }
  if (alcoholLeft) {
    share(y, layout, 'alcohol')
    share(y, layout, 'water')
  }
  return overdrawn
}

/** Fills an overdrawn cell from the thicker neighbour, with the neighbour's composition. False if it cannot spare it. */
function borrowVolume(y: Float64Array, i: number, { cells, block, area }: ContentLayout): boolean {
  const volume = (j: number) => (j < 0 || j >= cells ? -1 : area[j] * y[j * block])
  const j = volume(i - 1) > volume(i + 1) ? i - 1 : i + 1
  const need = -y[i * block] * area[i]
  if (!(volume(j) > 2 * need)) return false
  const alcohol = Math.max(0, need * (y[j * block + 1] / y[j * block]))
  y[i * block] = 0
  y[j * block] -= need / area[j]
  y[i * block + 1] += alcohol / area[i]
  y[j * block + 1] -= alcohol / area[j]
  return true
}

/** Exchanges alcohol for water with the neighbour that can best spare it. */
function borrowAlcohol(y: Float64Array, i: number, { cells, block, area }: ContentLayout): boolean {
  const X = y[i * block]
  const P = y[i * block + 1]
  const need = (P < 0 ? -P : X - P) * area[i]
  const spare = (j: number) => {
    if (j < 0 || j >= cells) return -1
    return area[j] * (need > 0 ? y[j * block + 1] : y[j * block] - y[j * block + 1])
  }
  const j = spare(i - 1) > spare(i + 1) ? i - 1 : i + 1
  if (!(spare(j) > 2 * Math.abs(need))) return false
  y[i * block + 1] += need / area[i]
  y[j * block + 1] -= need / area[j]
  return true
}

/** Value of what must not be negative in cell i, per area. */
function held(y: Float64Array, at: number, what: 'volume' | 'alcohol' | 'water'): number {
  if (what === 'volume') return y[at]
  return what === 'alcohol' ? y[at + 1] : y[at] - y[at + 1]
}

/** Last resort: all cells together pay for what is missing, in proportion to what they hold. */
function share(
  y: Float64Array,
  { cells, block, area }: ContentLayout,
  what: 'volume' | 'alcohol' | 'water',
): void {
  let missing = 0
  let present = 0
  for (let i = 0; i < cells; i++) {
    const amount = area[i] * held(y, i * block, what)
    if (amount < 0) missing -= amount
    else present += amount
  }
  if (!(missing > 0 && present > missing)) return
  const keep = 1 - missing / present
  for (let i = 0; i < cells; i++) {
    const at = i * block
    const now = held(y, at, what)
    const then = now < 0 ? 0 : now * keep
    if (what === 'volume') y[at] = then
    else y[at + 1] += what === 'alcohol' ? then - now : now - then
  }
}
