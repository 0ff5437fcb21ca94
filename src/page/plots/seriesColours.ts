/**
 * Colours of the plotted quantities: Okabe & Ito, "Color Universal Design" (2008), in two choices so that
 * lines keep a contrast of about 3 : 1 on light and on dark paper. Each goes with a dash of its own.
 */
export interface Style {
  colour: string
  dash: readonly number[]
}

const styles = {
  thickness: ['#0072b2', '#56b4e9', []],
  alcohol: ['#b5528b', '#cc79a7', []],
  tension: ['#00795a', '#009e73', []],
  bath: ['#d55e00', '#e69f00', []],
  surface: ['#0072b2', '#56b4e9', [6, 3]],
  centre: ['#0072b2', '#56b4e9', []],
  thin: ['#d55e00', '#e69f00', [5, 3]],
  ring: ['#00795a', '#009e73', [8, 3, 2, 3]],
} as const

export function styleOf(name: keyof typeof styles, dark: boolean): Style {
  const [onLight, onDark, dash] = styles[name]
  return { colour: dark ? onDark : onLight, dash }
}

/** Areas of the budgets: what is in the drop, evaporated, in child drops; alcohol strong, water pale. */
export const budgetColour = {
  drop: ['#0072b2', '#56b4e9'],
  evaporated: ['#e69f00', '#e69f00'],
  child: ['#009e73', '#009e73'],
  oil: ['#cc79a7', '#cc79a7'],
} as const

/** Paper, ink and the like for plots that are saved: always light, for paper. */
export interface PlotColours {
  ink: string
  faint: string
  line: string
  panel: string
  accent: string
  life: string
}
export const paperColours: PlotColours = {
  ink: '#222222',
  faint: '#555555',
  line: '#d0d0d0',
  panel: '#ffffff',
  accent: '#b3541e',
  life: '#0072b2',
}
