/** A figure of the report as a picture that stands alone: with its title above it. Pure. */
import { escapeXml } from '../plots/escape.ts'
import { cutText } from '../plots/svgLegend.ts'
import type { ReportFigure } from './parts.ts'

const above = 50

const sizeOf = (svg: string, name: 'width' | 'height'): number =>
  Number(new RegExp(`^<svg [^>]*?\\b${name}="([\\d.]+)"`).exec(svg)?.[1] ?? 400)

/** SVG text with title and drop above the picture. */
export function titledSvg({ title, svg = '' }: ReportFigure, drop: string): string {
  const own = svg.replace(/ xmlns="[^"]*"/, '')
  const width = Math.max(320, sizeOf(own, 'width'))
  const height = sizeOf(own, 'height') + above
  const words = (y: number, text: string, more: string) =>
    `<text x="12" y="${y}" ${more}>${escapeXml(cutText(text, 0.8 * (width - 24)))}</text>`
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}" ` +
    `font-family="system-ui, sans-serif" font-size="12" fill="#222222"><title>${escapeXml(title)}</title>` +
    `<rect width="100%" height="100%" fill="#ffffff"/>${words(22, title, 'font-size="15" font-weight="600"')}` +
    `${words(40, drop, 'fill="#555555"')}${own.replace('<svg ', `<svg y="${above}" `)}</svg>`
  )
}
