/** The numbers of a preset's liquids that are least known, without preparing a whole life. Pure. */
import { defaultInterfaceLaw } from '../liquids/interfaceLaw.ts'
import { mixtureFor, oilFor } from '../liquids/own/resolve.ts'
import { type Uptake, uptakeOf } from '../liquids/solubility.ts'
import type { InterfaceLaw } from '../liquids/types.ts'
import { exp, log } from '../numerics/elementary.ts'
import type { Preset } from './types.ts'

/** Law of the closed-form liquids, N/m; its decay goes with their strength. */
const REFERENCE_LAW: InterfaceLaw = { water: 24.9e-3, end: 0.4e-3, decay: 3.6 }

const kelvin = ({ air }: Preset): number => air.temperature_C + 273.15

const isReference = ({ drop }: Preset): boolean => drop.alcohol === 'reference'

/** The assumed drop/oil tension of a preset, its own numbers first; N/m. */
export function interfaceLawOf(preset: Preset): InterfaceLaw {
  const { water_mNperM: water, end_mNperM: end, decay } = preset.interface
  const standard = isReference(preset) ? REFERENCE_LAW : defaultInterfaceLaw(oilFor(preset), kelvin(preset))
  return {
    water: water === undefined ? standard.water : water * 1e-3,
    end: end === undefined ? standard.end : end * 1e-3,
    decay: decay ?? standard.decay,
  }
}

/** Viscosity of the bath, Pa·s, and its tension against air, N/m. */
export function oilNumbersOf(preset: Preset): { viscosity: number; tension: number } {
  const { viscosity_mPas: viscosity, tension_mNperM: tension } = preset.bath
  const standard = () => {
    if (isReference(preset)) return { viscosity: REFERENCE_OIL.viscosity, tension: REFERENCE_OIL.tension }
    const oil = oilFor(preset)
    return { viscosity: oil.viscosity(kelvin(preset)), tension: oil.surfaceTension(kelvin(preset)) }
  }
  const own = { viscosity: viscosity && viscosity * 1e-3, tension: tension && tension * 1e-3 }
  if (own.viscosity !== undefined && own.tension !== undefined)
    return { viscosity: own.viscosity, tension: own.tension }
  const other = standard()
  return { viscosity: own.viscosity ?? other.viscosity, tension: own.tension ?? other.tension }
}

/** The oil of the reference case, SI. */
export const REFERENCE_OIL = { viscosity: 0.05, tension: 33e-3 }

/** What is taken up goes as c*√D: the factor within which that is known, both errors independent; 1 without liquids of its own. */
export function uptakeFactor(uptake: Uptake | null): number {
  if (!uptake) return 1
  const solubility = log(uptake.solubilityFactor)
  const diffusivity = 0.5 * log(uptake.diffusivityFactor)
  return exp(Math.sqrt(solubility * solubility + diffusivity * diffusivity))
}

/** c* of a preset (volume per volume) and the factor within which c*√D of its liquids is known. */
export function solubilityNow(preset: Preset): { solubility: number; factor: number } {
  const uptake = isReference(preset)
    ? null
    : uptakeOf(mixtureFor(preset), oilFor(preset), kelvin(preset), oilNumbersOf(preset).viscosity)
  return { solubility: preset.bath.solubility ?? uptake?.solubility ?? 0, factor: uptakeFactor(uptake) }
}
