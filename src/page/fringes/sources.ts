/** Where the index of the film comes from, in a sentence. */
import { filmIndexNotes } from '../../liquids/opticalIndices.ts'

export const mixtureIndexNote = `The index of the film is that of the simulated mixture at the moment, until you type another. Its change with the wavelength: ${filmIndexNotes[0]!.source}.`
