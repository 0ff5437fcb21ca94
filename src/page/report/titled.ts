/** A figure of the report as a picture that stands alone: with its title above it. Pure. */
import { escapeXml } from '../plots/escape.ts'
import { headOf, inMillimetres } from '../plots/svgText.ts'
import type { ReportFigure } from './parts.ts'

const sizeOf = (svg: string, name: 'width' | 'height'): number =>
  Number(new RegExp(`^<svg [^>]*?\\b${name}="([\\d.]+)"`).exec(svg)?.[1] ?? 400)

/** SVG text with title, drop and notice above the picture; sizes in mm, for paper. */
export function titledSvg({ title, svg = '' }: ReportFigure, drop: string, notice = ''): string {
  const own = svg.replace(/ xmlns="[^"]*"/, '')
  const width = Math.max(320, sizeOf(own, 'width'))
  const head = headOf({ title, subtitle: drop, notice }, width)
  const height = sizeOf(own, 'height') + head.height
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${inMillimetres(width)}" height="${inMillimetres(height)}" viewBox="0 0 ${width} ${height}" ` +
    `font-family="system-ui, sans-serif" font-size="12" fill="#222222"><title>${escapeXml(title)}</title>` +
    `<rect width="100%" height="100%" fill="#ffffff"/>${head.text}` +
    `${own.replace('<svg ', `<svg y="${head.height}" `)}</svg>`
  )
}
