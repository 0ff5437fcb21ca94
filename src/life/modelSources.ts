/** Where the numbers of the model come from that belong to no liquid. */
import type { SourceNote } from '../liquids/types.ts'

export const MODEL_SOURCES: readonly SourceNote[] = [
  {
    quantity: 'coverage cut-off, its default',
    source: '50 nm, a film of some tens of molecules; Rimtide’s own choice, no measurement was found',
    quality: 'assumed',
    range: 'matters above an alcohol fraction of about 0.7',
  },
  {
    quantity: 'evaporation cut-off, its default',
    source: '5 nm; Rimtide’s own choice, so that a bare film stops to evaporate',
    quality: 'assumed',
    range: 'films under some tens of nm',
  },
  {
    quantity: 'levelling of thin films',
    source: 'γa γi/(γa + γi) of the two faces of a film that bend together: derived for thin films',
    quality: 'derived',
    range: 'slopes well under 1',
  },
  {
    quantity: 'shear dispersion in the film',
    source:
      'Taylor’s dispersion, Proc. R. Soc. A 219, 186 (1953), citation from memory, for the shear between the faces of the film',
    quality: 'derived',
    range: 'films thin enough to mix across their height',
  },
]
