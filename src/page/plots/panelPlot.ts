/** One live plot (uPlot) of a panel: axes, lines, labels at the lines' ends, marks. */
import uPlot from 'uplot'
import { axisLeft, linearTicks, logLabels, logTicks, tickLabels } from './axis.ts'
import { heightAt } from './labelPlaces.ts'
import { pathsOf } from './linePaths.ts'
import { lastPoint, type Panel, signature, spread } from './plotData.ts'
import type { PlotColours } from './seriesColours.ts'

const font = '11px system-ui, sans-serif'

export interface Look {
  colours: PlotColours
  /** Room right of the plot, px, for labels at the lines' ends. */
  right: number
  /** Room above the plot for its head, px. */
  top: number
}

export class PanelPlot {
  private plot: uPlot | null = null
  private made = ''
  private panel: Panel
  private look: Look
  private readonly root: HTMLElement

  constructor(root: HTMLElement, panel: Panel, look: Look) {
    this.root = root
    this.panel = panel
    this.look = look
  }

  /** New data, colours or size (CSS px); the plot is made anew only when its kind of axes or lines changes. */
  update(panel: Panel, look: Look, width: number, height: number): void {
    const kind = `${signature(panel)} ${JSON.stringify(look)}`
    this.panel = panel
    this.look = look
    if (width < 40 || height < 30) return
    if (this.plot === null || kind !== this.made) {
      this.plot?.destroy()
      this.plot = new uPlot(this.options(width, height), this.data(), this.root)
      this.made = kind
      return
    }
    const { plot } = this
    plot.batch(() => {
      if (plot.width !== width || plot.height !== height) plot.setSize({ width, height })
      plot.setData(this.data(), false)
      plot.setScale('x', { min: panel.xMin, max: panel.xMax })
      plot.setScale('y', { min: panel.yMin, max: panel.yMax })
    })
  }

  private data(): uPlot.AlignedData {
    return [null, ...this.panel.lines.map((line) => [line.x, line.y])] as unknown as uPlot.AlignedData
  }

  private options(width: number, height: number): uPlot.Options {
    const { panel, look } = this
    const { colours } = look
    return {
      mode: 2,
      width,
      height,
      padding: [look.top, look.right, panel.showX ? 0 : 5, 0],
      legend: { show: false },
      cursor: { show: false },
      scales: {
        x: { time: false, auto: false, range: () => [this.panel.xMin, this.panel.xMax] },
        y: {
          auto: false,
          range: () => [this.panel.yMin, this.panel.yMax],
          ...(panel.logarithmic ? { distr: 3, log: 10 } : {}),
        },
      },
      axes: [this.xAxis(colours), this.yAxis(colours)],
      series: [null as unknown as uPlot.Series, ...panel.lines.map((_, i) => this.series(i))],
      hooks: { draw: [(u) => this.drawWords(u)] },
    }
  }

  private xAxis(colours: PlotColours): uPlot.Axis {
    return {
      scale: 'x',
      show: this.panel.showX,
      size: 24,
      labelSize: 15,
      labelGap: 0,
      label: this.panel.xLabel,
      font,
      labelFont: font,
      stroke: colours.ink,
      grid: { stroke: colours.line, width: 1 },
      ticks: { stroke: colours.line, width: 1, size: 4 },
      gap: 3,
      splits: (u) => linearTicks(this.panel.xMin, this.panel.xMax, u.bbox.width / devicePixelRatio, 56),
      values: (_, splits) => tickLabels(splits),
    }
  }

  private yAxis(colours: PlotColours): uPlot.Axis {
    return {
      scale: 'y',
      size: axisLeft - 16,
      labelSize: 16,
      labelGap: 0,
      label: this.panel.yLabel,
      font,
      labelFont: font,
      stroke: colours.ink,
      grid: { stroke: colours.line, width: 1 },
      ticks: { stroke: colours.line, width: 1, size: 3 },
      gap: 3,
      splits: (u) => this.yTicks(u.bbox.height / devicePixelRatio),
      filter: (_, splits) => splits,
      values: (_, splits) => (this.panel.logarithmic ? logLabels(splits) : tickLabels(splits)),
    }
  }

  private yTicks(height: number): number[] {
    const { yMin, yMax, logarithmic } = this.panel
    return logarithmic
      ? logTicks(yMin, yMax, height, 14)
      : linearTicks(yMin, yMax, height, height < 60 ? 14 : 22)
  }

  private series(i: number): uPlot.Series {
    const line = this.panel.lines[i]!
    const opaque = line.opacity < 1 ? { alpha: line.opacity } : {}
    return {
      scale: 'y',
      facets: [
        { scale: 'x', auto: false },
        { scale: 'y', auto: false },
      ],
      stroke: line.colour,
      width: line.width,
      dash: [...line.dash],
      points: { show: false },
      ...(line.kind === 'area' ? { fill: line.colour, width: 0 } : {}),
      ...opaque,
      paths: (u) => pathsOf(u, this.panel.lines[i]!, devicePixelRatio),
    } as uPlot.Series
  }

  private drawWords(u: uPlot): void {
    const { ctx } = u
    const ratio = devicePixelRatio
    ctx.save()
    ctx.font = `${11 * ratio}px system-ui, sans-serif`
    ctx.textBaseline = 'middle'
    ctx.lineJoin = 'round'
    ctx.lineWidth = 3 * ratio
    ctx.strokeStyle = this.look.colours.panel
    this.drawMarks(u, ratio)
    this.drawEnds(u, ratio)
    ctx.restore()
  }

  private drawEnds(u: uPlot, ratio: number): void {
    const { ctx, bbox } = u
    const ends = this.panel.lines
      .map((line) => ({ line, i: lastPoint(line, this.panel) }))
      .filter(({ line, i }) => line.label !== '' && i >= 0)
    const wanted = ends.map(({ line, i }) => u.valToPos(heightAt(line, i), 'y', true) - bbox.top)
    const rows = spread(wanted, 11.5 * ratio, bbox.height)
    ends.forEach(({ line, i }, k) => {
      const end = u.valToPos(line.x[i]!, 'x', true) + 4 * ratio
      const most = bbox.left + bbox.width + (this.look.right - 2) * ratio - ctx.measureText(line.label).width
      this.write(ctx, line.label, Math.min(end, most), bbox.top + rows[k]!, line.colour)
    })
  }

  private write(ctx: CanvasRenderingContext2D, text: string, x: number, y: number, colour: string): void {
    ctx.textAlign = 'left'
    ctx.strokeText(text, x, y)
    ctx.fillStyle = colour
    ctx.fillText(text, x, y)
  }

  private drawMarks(u: uPlot, ratio: number): void {
    const { ctx, bbox } = u
    const { ink, panel: paper } = this.look.colours
    for (const mark of this.panel.marks) {
      const x = u.valToPos(mark.x, 'x', true)
      const y = Math.min(u.valToPos(mark.y, 'y', true), bbox.top + bbox.height - 3 * ratio)
      ctx.beginPath()
      ctx.arc(x, y, 3 * ratio, 0, 2 * Math.PI)
      ctx.fillStyle = paper
      ctx.fill()
      ctx.lineWidth = 1.3 * ratio
      ctx.strokeStyle = ink
      ctx.stroke()
      ctx.lineWidth = 3 * ratio
      ctx.strokeStyle = paper
      // In a plot too narrow for all of it, the first statement alone.
      const fits = ctx.measureText(mark.label).width < bbox.width - 6
      const label = fits ? mark.label : mark.label.split(' · ')[0]!
      const width = ctx.measureText(label).width
      const left = Math.min(Math.max(x - width / 2, bbox.left + 3), bbox.left + bbox.width - width - 3)
      const roomBelow = bbox.top + bbox.height - y > 17 * ratio
      const above = y - bbox.top > 18 * ratio && !(mark.below && roomBelow)
      this.write(ctx, label, left, y + (above ? -10 : 11) * ratio, ink)
    }
  }

  destroy(): void {
    this.plot?.destroy()
    this.plot = null
  }
}
