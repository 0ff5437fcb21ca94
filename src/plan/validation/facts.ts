/** All facts, by subject. */
import { BURSTING } from './bursting.ts'
import { CLOSED_FORMS } from './closedForms.ts'
import { LIQUIDS } from './liquids.ts'
import { OILS, SAFETY } from './oils.ts'
import { RIDGE } from './ridge.ts'
import { SPREADING } from './spreading.ts'
import type { Fact } from './types.ts'
import { VAPOUR } from './vapour.ts'
import { WETTING } from './wetting.ts'

export const FACTS: readonly Fact[] = [
  ...SPREADING,
  ...WETTING,
  ...BURSTING,
  ...CLOSED_FORMS,
  ...RIDGE,
  ...VAPOUR,
  ...LIQUIDS,
  ...OILS,
  ...SAFETY,
]
