/** What a round drop and a linear calculation cannot tell. */
import { KISHIMOTO, SEYFERT } from './sources.ts'
import { type Fact, fact, PRACTICE } from './types.ts'

/** What a round drop cannot tell, whatever its numbers. */
const untold = (id: string, what: string, source: string, why: string): Fact =>
  fact({
    id,
    fact: what,
    source,
    tolerance: 'no number of the program bears on it',
    measure: () => ({}),
    program: () => why,
    judge: () => 'cannot tell',
  })

export const UNTOLD: readonly Fact[] = [
  untold(
    'dye',
    'A dye in the drop changes how it spreads and breaks up.',
    SEYFERT,
    'there is no dye in the equations: dyes gather at surfaces and lower their tension, which the tension curves do not know',
  ),
  untold(
    'merging',
    'Child drops that touch merge, so that those counted after a minute are fewer and larger.',
    PRACTICE,
    'the calculation is round: child drops leave it as numbers and sizes and have no places at which they could meet',
  ),
  untold(
    'long-fingers',
    'The fingers grow long, and drops pinch off at their tips.',
    KISHIMOTO,
    'a linear calculation on a round drop tells whether and where waves begin, not what shape they take once they are as large as the rim',
  ),
]
