/** The page's named colours as those of the scene, in light and dark. */
import { palette } from '../theme.ts'
import { rgbOf } from './cssColour.ts'

type Rgb = [number, number, number]
export interface SceneColours {
  oil: Rgb
  deep: Rgb
  glass: Rgb
  ink: Rgb
  paper: Rgb
  onFilm: Rgb
  child: Rgb
  gloss: number
}

const mix = (a: readonly number[], b: readonly number[], x: number): [number, number, number] => [
  a[0]! + x * (b[0]! - a[0]!),
  a[1]! + x * (b[1]! - a[1]!),
  a[2]! + x * (b[2]! - a[2]!),
]

/** @param bare colour of the bare oil (0–1) where the drop is shown as it looks, else null */
export function sceneColours(
  dark: boolean,
  signed: boolean,
  bare: [number, number, number] | null = null,
): SceneColours {
  const named = palette()
  const paper = rgbOf(named.panel, dark ? [0.12, 0.11, 0.1] : [1, 1, 1])
  const ink = rgbOf(named.ink, dark ? [0.93, 0.91, 0.87] : [0.14, 0.12, 0.1])
  const straw = rgbOf(named.straw, dark ? [0.36, 0.29, 0.16] : [0.95, 0.87, 0.64])
  const colours: SceneColours = {
    oil: dark ? mix(straw, [0.3, 0.18, 0.05], 0.45) : mix(straw, [1, 1, 1], 0.25),
    deep: dark ? mix(straw, [0.16, 0.09, 0.02], 0.8) : mix(straw, [0.62, 0.42, 0.1], 0.45),
    glass: mix(paper, ink, 0.28),
    ink,
    paper,
    onFilm: dark === signed ? [1, 1, 1] : [0.04, 0.05, 0.08],
    child: dark ? [0.55, 0.83, 0.97] : [0.1, 0.28, 0.6],
    gloss: dark ? 0.16 : 0.22,
  }
  if (!bare) return colours
  // The bath's lines must be seen on a light ground in both themes.
  const lines: [number, number, number] = [0.14, 0.12, 0.1]
  return { ...colours, oil: bare, deep: mix(bare, [0, 0, 0], 0.25), ink: lines, onFilm: lines }
}
