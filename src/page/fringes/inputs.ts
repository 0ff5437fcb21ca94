/** What the user says about a picture with fringes, as typed, and what is made of it. SI units after reading. */
import type { Film, Known } from '../../measured/fringes/types.ts'
import { typedInBox } from '../../numerics/typedNumber.ts'

export interface Inputs {
  light: 'one' | 'white'
  /** nm, and the half width of the lamp's line. */
  wavelength: string
  wavelengthSigma: string
  index: string
  indexSigma: string
  known: Known['at']
  /** Place (mm) and thickness (µm) that are known, and the thickness's uncertainty (nm). */
  knownRadius: string
  knownThickness: string
  knownSigma: string
  outward: 'thinner' | 'thicker' | 'unknown'
  /** '' = all round; else degrees clockwise from the right. */
  direction: string
  /** Centre and radius of the drop, px; radius of the drop, mm. */
  x: string
  y: string
  radius: string
  radiusMm: string
  /** Moment of the simulated life, s. */
  moment: string
}

export const plainInputs = (): Inputs => ({
  light: 'one',
  wavelength: '589.3',
  wavelengthSigma: '0.5',
  index: '',
  indexSigma: '0.003',
  known: 'nowhere',
  knownRadius: '0',
  knownThickness: '',
  knownSigma: '20',
  outward: 'thinner',
  direction: '',
  x: '',
  y: '',
  radius: '',
  radiusMm: '',
  moment: '',
})

export interface Said {
  where: { x: number; y: number; radius: number; scale: number; angle: number | null }
  wavelength: number
  wavelengthSigma: number
  film: Omit<Film, 'bath'>
  known: Known
}

interface Field {
  key: keyof Inputs
  name: string
  unit: string
  min: number
  max: number
}

const field = (key: keyof Inputs, name: string, unit: string, min: number, max: number): Field => ({
  key,
  name,
  unit,
  min,
  max,
})

const always: readonly Field[] = [
  field('x', 'Centre, from the left', 'px', 0, 20_000),
  field('y', 'Centre, from the top', 'px', 0, 20_000),
  field('radius', 'Radius of the drop in the picture', 'px', 8, 20_000),
  field('radiusMm', 'Radius of the drop', 'mm', 0.1, 500),
  field('index', 'Index of the film', '', 1.2, 1.7),
  field('indexSigma', 'Uncertainty of the index', '', 0, 0.1),
]
const ofOne: readonly Field[] = [
  field('wavelength', 'Wavelength', 'nm', 380, 780),
  field('wavelengthSigma', 'Uncertainty of the wavelength', 'nm', 0, 30),
]
const ofPlace: readonly Field[] = [
  field('knownRadius', 'Distance from the centre where the thickness is known', 'mm', 0, 500),
  field('knownThickness', 'Known thickness', 'µm', 0, 100),
  field('knownSigma', 'Uncertainty of the known thickness', 'nm', 0, 10_000),
]

const wanted = (inputs: Inputs): Field[] => [
  ...always,
  ...(inputs.light === 'one' ? ofOne : []),
  ...(inputs.light === 'one' && inputs.known === 'place' ? ofPlace : []),
  ...(inputs.direction.trim() === '' ? [] : [field('direction', 'Direction', '°', -360, 360)]),
]

/** What is missing or wrong, in sentences; or everything as numbers. */
export function readInputs(inputs: Inputs): { ok: true; said: Said } | { ok: false; problems: string[] } {
  const problems: string[] = []
  const values = new Map<keyof Inputs, number>()
  for (const { key, name, unit, min, max } of wanted(inputs)) {
    const text = inputs[key].trim()
    const value = text === '' ? Number.NaN : typedInBox(text)
    values.set(key, value)
    if (value >= min && value <= max) continue
    const range = `${min} to ${max}${unit && unit !== '°' ? ` ${unit}` : unit}`
    problems.push(
      text === '' ? `${name}: wanted, ${range}.` : `${name}: “${text}” is no number from ${range}.`,
    )
  }
  if (problems.length > 0) return { ok: false, problems }
  const of = (key: keyof Inputs): number => values.get(key)!
  const rim = 1e-3 * of('radiusMm')
  const known: Known =
    inputs.known === 'rim'
      ? { at: 'rim', r: rim }
      : inputs.known === 'place' && inputs.light === 'one'
        ? {
            at: 'place',
            r: 1e-3 * of('knownRadius'),
            h: 1e-6 * of('knownThickness'),
            sigma: 1e-9 * of('knownSigma'),
          }
        : { at: 'nowhere' }
  const angle = inputs.direction.trim() === '' ? null : (of('direction') * Math.PI) / 180
  return {
    ok: true,
    said: {
      where: { x: of('x'), y: of('y'), radius: of('radius'), scale: rim / of('radius'), angle },
      wavelength: 1e-9 * (values.get('wavelength') ?? 589.3),
      wavelengthSigma: 1e-9 * (values.get('wavelengthSigma') ?? 0),
      film: { index: of('index'), indexSigma: of('indexSigma'), angle: 0 },
      known,
    },
  }
}
