/**
 * Sizes that are no radii in millimetres: areas and pixels. Propagation of uncertainty: JCGM 100:2008 (GUM), 5.1.2, with the
 * derivative of R = √(A/π). Tables are invented (Harbour Lane evening school, bench 3).
 */
import { describe, expect, it } from 'vitest'
import { checkCurve } from '../../src/measured/checkCurve.ts'
import { readHeaderCell } from '../../src/measured/header.ts'
import { readText } from '../../src/measured/read.ts'
import type { Choices, MeasuredCurve } from '../../src/measured/types.ts'

const read = (text: string, choices: Choices = {}): MeasuredCurve => {
  const result = readText(text, 'bench.csv', choices)
  if (!result.ok) throw new Error(result.problems.map(({ message }) => message).join('\n'))
  expect(checkCurve(result.curves[0], 'curve')).toMatchObject({ ok: true })
  return result.curves[0]!
}
const said = (text: string, choices: Choices = {}): string => {
  const result = readText(text, 'bench.csv', choices)
  return result.ok ? 'read' : result.problems.map(({ message }) => message).join('\n')
}
const mm = (values: ArrayLike<number> | undefined) =>
  Array.from(values ?? [], (x) => Number((1e3 * x).toPrecision(12)))

describe('areas', () => {
  it('give the radius of the circle of the same area, and its uncertainty', () => {
    // A circle of 3 and of 5 mm: A = π R², dR = dA / (2πR).
    const [a, b] = [9 * Math.PI, 25 * Math.PI]
    const curve = read(`t (s),area (mm²),± (mm²)\n0,${a},${0.6 * Math.PI}\n1,${b},${Math.PI}\n`)
    expect(mm(curve.radius)).toEqual([3, 5])
    expect(mm(curve.uncertainty)).toEqual([0.1, 0.1])
  })

  it('in any unit and way of writing it', () => {
    for (const [title, one] of [
      ['area (cm²)', 0.01],
      ['Area_mm2', 1],
      ['A (mm^2)', 1],
      ['Fläche [mm²]', 1],
      ['area / m²', 1e-6],
      ['area (sq mm)', 1],
      ['area (square millimetres)', 1],
      ['aire (µm²)', 1e6],
    ] as const) {
      expect(mm(read(`t (s);${title}\n0;${Math.PI * one}\n1;${4 * Math.PI * one}\n`).radius), title).toEqual([
        1, 2,
      ])
    }
  })

  it('with an uncertainty in per cent of the area, of a length, or without a unit', () => {
    const area = 4 * Math.PI
    const table = (title: string, sigma: number) =>
      mm(read(`t (s),area (mm²),${title}\n0,${area},${sigma}\n1,${area},${sigma}\n`).uncertainty)[0]
    expect(table('error (%)', 2)).toBe(0.02)
    expect(table('error (mm)', 0.03)).toBe(0.03)
    expect(table('error', 0.4 * Math.PI)).toBe(0.1)
  })

  it('of nothing have a radius of 0 whose uncertainty is not known; negative ones are refused', () => {
    const curve = read('t (s),area (mm²),± (mm²)\n0,0,1\n1,6,1\n')
    expect(curve.radius[0]).toBe(0)
    expect(curve.uncertainty![0]).toBeNaN()
    expect(said('t (s),area (mm²)\n0,-3\n1,6\n')).toMatch(/an area cannot be negative/)
  })

  it('beside a radius an uncertainty in mm² says nothing', () => {
    expect(said('t (s),R (mm),± (mm²)\n0,3,1\n1,6,1\n')).toMatch(/belongs to an area/)
  })
})

describe('pixels', () => {
  it('need a scale; it is asked for and checked', () => {
    const text = 't (s),R (px)\n0,30\n1,60\n'
    const result = readText(text, 'a.csv')
    expect(!result.ok && [result.needs, result.askOnly]).toEqual([{ millimetresPerPixel: {} }, true])
    expect(said(text, { radiusUnit: 'mm' })).toMatch(/how many millimetres a pixel is/)
    for (const millimetresPerPixel of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(said(text, { millimetresPerPixel }), String(millimetresPerPixel)).toMatch(/not possible/)
    }
    expect(said(text, { millimetresPerPixel: 0.1, millimetresPerPixelError: -1 })).toMatch(/0 or more/)
    expect(mm(read(text, { millimetresPerPixel: 0.1 }).radius)).toEqual([3, 6])
  })

  it('carry the error of the scale as one that all points share', () => {
    const curve = read('t (s),R (px),± (px)\n0,30,1\n1,40,1\n', {
      millimetresPerPixel: 0.1,
      millimetresPerPixelError: 0.001,
    })
    expect(mm(curve.shared?.[0]?.shift)).toEqual([0.03, 0.04])
    expect(mm(curve.uncertainty)).toEqual(
      [Math.hypot(0.1, 0.03), Math.hypot(0.1, 0.04)].map((x) => Number(x.toPrecision(12))),
    )
    expect(curve.provenance).toEqual({ metresPerPixel: 0.1 / 1000, scaleUncertainty: 0.001 / 0.1 })
  })

  it('without uncertainties of the points the error of the scale is one of the curve', () => {
    const curve = read('t (s),R (px)\n0,30\n1,40\n', {
      millimetresPerPixel: 0.1,
      millimetresPerPixelError: 0.001,
    })
    expect(curve.uncertainty).toBeUndefined()
    expect(curve.meta.sigma).toEqual({ radiusScale: 0.01 })
  })

  it('areas in pixels, and diameters', () => {
    const scale = { millimetresPerPixel: 0.1 }
    expect(mm(read(`t (s),area (px²)\n0,${900 * Math.PI}\n1,${1600 * Math.PI}\n`, scale).radius)).toEqual([
      3, 4,
    ])
    expect(mm(read(`t (s),area (pixels)\n0,${900 * Math.PI}\n1,${1600 * Math.PI}\n`, scale).radius)).toEqual([
      3, 4,
    ])
    expect(mm(read('t (s),diameter (px)\n0,60\n1,80\n', scale).radius)).toEqual([3, 4])
  })

  it('a scale that a remark mentions is offered, not taken', () => {
    for (const [remark, guess] of [
      ['scale: 0.05 mm/px', 0.05],
      ['52 µm per pixel', 0.052],
      ['20 px/mm', 0.05],
    ] as const) {
      const result = readText(`# ${remark}\nt (s),R (px)\n0,30\n1,60\n`, 'a.csv')
      expect(!result.ok && result.needs?.millimetresPerPixel, remark).toEqual({ guess })
    }
  })

  it('a scale that makes drops of metres is asked for once more', () => {
    const result = readText('t (s),R (px)\n0,30\n1,60\n', 'a.csv', { millimetresPerPixel: 50 })
    expect(!result.ok && result.needs).toEqual({ millimetresPerPixel: {} })
  })
})

describe('a line of units below the titles', () => {
  const scale = { millimetresPerPixel: 0.1, framesPerSecond: 10 }
  it.each([
    ['frame,R\n#,px\n0,30\n10,60\n'],
    ['t,R\n#,px\n0,30\n10,60\n'],
    ['t;R\n#;px\n0;30\n10;60\n'],
    ['t\tR\n#\tpx\n0\t30\n10\t60\n'],
    ['t R\n# px\n0 30\n10 60\n'],
    ['t,R\ns,mm\n0,3\n1,6\n'],
    ['t,R\n# s,mm\n0,3\n1,6\n'],
    ['n,t,R\n#,s,mm\n1,0,3\n2,1,6\n'],
    ['n,t,T,R\n-,s,°C,mm\n1,0,21,3\n2,1,21,6\n'],
    ['t,area\ns,mm²\n0,28.274333882308138\n1,113.09733552923255\n'],
  ])('%j', (text) => {
    const curve = read(text, scale)
    expect([...curve.time]).toEqual([0, 1])
    expect(mm(curve.radius)).toEqual([3, 6])
  })

  it('a remark below the titles stays a remark', () => {
    expect(mm(read('t (s),R (mm)\n# px, by eye\n0,3\n1,6\n').radius)).toEqual([3, 6])
    expect(mm(read('t (s),R (mm)\n#\n0,3\n1,6\n').radius)).toEqual([3, 6])
  })
})

it('titles that hold no area are not taken for one', () => {
  expect(readHeaderCell('radius of area 2 (mm)').role).toBe('radius')
  expect(readHeaderCell('film (mm²)').role).toBe('unknown')
  expect(readHeaderCell('A2 (mm)').role).toBe('unknown')
})

it('numbers with all digits of a double come back to the last bit from millimetres', () => {
  // Exact decimal shift, by the language's own correctly rounded conversion (ECMA-262, Number::toString and StringToNumber).
  for (const metres of [0.0034567890123456789, 1 / 7, 2e-5 / 3, 0.012345678901234567]) {
    const text = String(Number(metres)).includes('e') ? metres.toFixed(22) : String(metres)
    const point = text.indexOf('.')
    const digits = `${text.slice(2, point + 4).padEnd(3, '0')}.${text.slice(point + 4)}`
    const curve = read(`t (s),R (mm)\n0,${digits}\n1,1\n`)
    expect(curve.radius[0], digits).toBe(Number(text))
  }
})
