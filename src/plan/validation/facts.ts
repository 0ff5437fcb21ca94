/** All facts, by subject. */
import { BATHS } from './baths.ts'
import { BOILING } from './boiling.ts'
import { BURSTING } from './bursting.ts'
import { DROP_SIZES } from './dropSizes.ts'
import { FILMS } from './films.ts'
import { LIQUIDS } from './liquids.ts'
import { LOSS } from './loss.ts'
import { OILS, SAFETY } from './oils.ts'
import { REST } from './rest.ts'
import { RIDGE } from './ridge.ts'
import { SCALED } from './scaled.ts'
import { SPREADING } from './spreading.ts'
import { TENSIONS } from './tensions.ts'
import type { Fact } from './types.ts'
import { UNTOLD } from './untold.ts'
import { WETTING } from './wetting.ts'

export const FACTS: readonly Fact[] = [
  ...SCALED,
  ...SPREADING,
  ...WETTING,
  ...BURSTING,
  ...DROP_SIZES,
  ...UNTOLD,
  ...LOSS,
  ...REST,
  ...BATHS,
  ...FILMS,
  ...RIDGE,
  ...BOILING,
  ...TENSIONS,
  ...LIQUIDS,
  ...OILS,
  ...SAFETY,
]
