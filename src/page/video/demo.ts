/** The demo recording, drawn on the spot: invented data of an invented class. */
import { createReader, type FrameSource, listSource } from './source.ts'

const demoName = 'Harbour Lane evening school, bench 3 (invented)'

/** What the demo shows, so that it can be compared with what is measured. */
export const demoScene = {
  width: 480,
  height: 360,
  /** Metres per pixel: the dish's inner diameter of 140 mm is 340 px wide. */
  metresPerPixel: 0.14 / 340,
  dish: { x: 240, y: 180, r: 170 },
  frames: 73,
  perSecond: 8,
  touchDown: 0.5,
}

/**
 * Invented radius in px, `time` s after touch-down; 0 before and after the life of 8 s. A closed form near the invented
 * table of a drop of 60 % (presets/harbour-lane-measured-60.csv), so that recording and tables go together.
 */
function demoRadius(time: number): number {
  if (!(time >= 0 && time < 8)) return 0
  return 63 * Math.tanh((time / 1.1) ** 0.6) * Math.sqrt(1 - (time / 8) ** 9)
}

function random(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 4294967296
  }
}

function drawDish(c: CanvasRenderingContext2D): void {
  const { width, height, dish } = demoScene
  c.fillStyle = '#4a4f54'
  c.fillRect(0, 0, width, height)
  c.fillStyle = '#9aa4a8'
  c.beginPath()
  c.arc(dish.x, dish.y, dish.r + 7, 0, 7)
  c.fill()
  const lamp = c.createRadialGradient(200, 140, 30, 240, 180, 210)
  lamp.addColorStop(0, '#e2c983')
  lamp.addColorStop(1, '#bb9f58')
  c.fillStyle = lamp
  c.beginPath()
  c.arc(dish.x, dish.y, dish.r, 0, 7)
  c.fill()
}

function disc(c: CanvasRenderingContext2D, x: number, y: number, r: number): void {
  c.beginPath()
  c.arc(x, y, Math.max(r, 0), 0, 7)
  c.fill()
}

function drawDrop(c: CanvasRenderingContext2D, since: number): void {
  const r = demoRadius(since)
  if (r <= 0) return
  c.fillStyle = 'rgb(150 28 60 / 0.62)'
  disc(c, 236, 186, r)
  if (since > 1.4) {
    const shed = random(7)
    for (let i = 0; i < 26; i++) {
      const angle = (2 * Math.PI * (i + 0.3 * shed())) / 26
      const away = r + 7 + 14 * Math.min(1, (since - 1.4) / 3) * shed()
      if (236 + away > 400) continue
      disc(c, 236 + away * Math.cos(angle), 186 + away * Math.sin(angle), 1.5 + 1.5 * shed())
    }
  }
  c.fillStyle = 'rgb(255 255 255 / 0.85)'
  disc(c, 220, 172, 3)
}

/** The recording: 73 pictures, 8 per second, touch-down at 0.5 s. */
export function openDemo(): FrameSource {
  const { width, height, frames, perSecond, touchDown } = demoScene
  const canvas = document.createElement('canvas')
  canvas.width = width
  canvas.height = height
  const c = canvas.getContext('2d', { willReadFrequently: true })!
  const read = createReader(width, height)
  const draw = async (index: number) => {
    const time = index / perSecond
    drawDish(c)
    drawDrop(c, time - touchDown + 1e-9)
    const frame = read(canvas)
    const noise = random(1000 + index)
    for (let i = 0; i < frame.data.length; i += 4) {
      const shift = 5 * (noise() + noise() - 1)
      for (let k = 0; k < 3; k++) frame.data[i + k]! += shift
    }
    return { time, frame }
  }
  const times = Array.from({ length: frames }, (_, index) => index / perSecond)
  return listSource({ name: demoName, kind: 'demo', width, height, close() {} }, times, draw)
}
