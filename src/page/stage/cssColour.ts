/** Any CSS colour as sRGB numbers 0–1, by asking the browser to paint it. */
let probe: CanvasRenderingContext2D | null = null
const known = new Map<string, [number, number, number]>()

export function rgbOf(css: string, fallback: [number, number, number]): [number, number, number] {
  if (css === '') return fallback
  const seen = known.get(css)
  if (seen) return seen
  if (!probe) {
    const canvas = document.createElement('canvas')
    canvas.width = 1
    canvas.height = 1
    probe = canvas.getContext('2d', { willReadFrequently: true })
  }
  if (!probe) return fallback
  probe.fillStyle = '#000'
  probe.fillStyle = css
  probe.clearRect(0, 0, 1, 1)
  probe.fillRect(0, 0, 1, 1)
  const [r, g, b] = probe.getImageData(0, 0, 1, 1).data
  const rgb: [number, number, number] = [r! / 255, g! / 255, b! / 255]
  known.set(css, rgb)
  return rgb
}
