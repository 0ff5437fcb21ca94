/** The fit's two plots: radii with the fitted lives, and what is left over. */
import { offNotice } from '../../life/mechanisms.ts'
import type { FitWish, LifeFit } from '../../measured/fit/types.ts'
import { el } from '../dom.ts'
import { plain } from '../format.ts'
import type { Panel } from '../plots/plotData.ts'
import { type PlotColours, paperColours } from '../plots/seriesColours.ts'
import { lineAt } from '../scaling/models.ts'
import { createPlotView } from '../scaling/plotView.ts'
import type { Store } from '../store.ts'
import { curveStyle, lookOf } from '../theme.ts'
import { type FitCurve, radiusPanel, residualPanel, type ShownLives } from './fitViews.ts'

/** A fit that is under way or over, with what it is of. */
export interface Shown {
  wish: FitWish
  lives: ShownLives
  fit: LifeFit | null
}

/** The curves of a fit with the looks that they have in the other plots. */
export function curvesOf({ wish }: Shown, store: Store): FitCurve[] {
  const { measured } = store.getState()
  return wish.curves.map((curve, i) => {
    const at = measured.findIndex(({ id }) => id === curve.id)
    return {
      curve,
      style: curveStyle(measured[at] ?? curve, at < 0 ? lookOf(wish.curves, i) : lookOf(measured, at)),
    }
  })
}

/** The measured points or the life nearest to x, in words. */
function valuesAt(panel: Panel, x: number): { short: string; full: string } {
  const at = `at ${plain(x)} s`
  const told = panel.lines
    .filter(({ key }) => key !== 'zero')
    .map((line) => [line.label, line.kind === 'line' ? lineAt(line, x) : nearest(line, x, panel)] as const)
    .filter(([, y]) => !Number.isNaN(y))
    .map(([label, y]) => `${label} ${plain(y)} mm`)
  return {
    short: told.length > 0 && told.length < 3 ? `${at}: ${told.join(', ')}` : at,
    full: [at, ...told].join(', '),
  }
}

/** y of the point next to x, if it is near enough to be meant. */
function nearest({ x: xs, y }: Panel['lines'][number], x: number, { xMin, xMax }: Panel): number {
  let best = -1
  for (let i = 0; i < xs.length; i++) {
    if (best < 0 || Math.abs(xs[i]! - x) < Math.abs(xs[best]! - x)) best = i
  }
  return best >= 0 && Math.abs(xs[best]! - x) < 0.02 * (xMax - xMin) ? y[best]! : Number.NaN
}

export interface FitPlots {
  root: HTMLElement
  /** Draws a fit; hidden while it has no lives. */
  show(shown: Shown | null, colours: PlotColours): void
  destroy(): void
}

/** @param shown the present fit, for the saved pictures */
export function createFitPlots(store: Store, shown: () => Shown | null, resized: () => void): FitPlots {
  const saved = (of: Shown, panel: Panel, subtitle: string, name: string) => ({
    panels: [panel],
    title: store.getState().preset.title || 'Fit',
    subtitle,
    notice: offNotice(of.wish.preset),
    name,
  })
  const radius = createPlotView({
    label: 'Time along the fitted radius',
    start: 0.5,
    resized,
    saved() {
      const of = shown()
      if (!of) return null
      return saved(of, radiusPanel(curvesOf(of, store), of.lives), 'Measured radii and fitted lives', 'fit')
    },
    values: valuesAt,
  })
  const residual = createPlotView({
    label: 'Time along the residuals',
    start: 0.5,
    resized,
    saved() {
      const of = shown()
      if (!of?.fit) return null
      const panel = residualPanel(of.fit, curvesOf(of, store), paperColours.ink)
      return saved(of, panel, 'Residuals, measured minus life, ± 1 σ', 'residuals')
    },
    values: valuesAt,
  })
  const root = el('div', { class: 'fit-plots', hidden: true }, radius.root, residual.root)
  return {
    root,
    show(of, colours) {
      root.hidden = of === null || of.lives.size === 0
      if (!of || root.hidden) return
      const curves = curvesOf(of, store)
      radius.show(radiusPanel(curves, of.lives), colours, [])
      residual.root.hidden = !of.fit
      if (of.fit) residual.show(residualPanel(of.fit, curves, colours.ink), colours, [])
    },
    destroy() {
      radius.destroy()
      residual.destroy()
    },
  }
}
