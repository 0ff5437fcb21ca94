/**
 * Test files that take no part in `npm run mutants`: they take ten seconds and more, or start other processes, which no mutant
 * reaches. What only they notice counts as survived, so that the score is rather too low than too high.
 */
const LONG: readonly string[] = [
  'tests/unit/airLayerLives.test.ts',
  'tests/unit/cli{Files,Fingers,Launch,Scaling,Serve,Validate}.test.ts',
  'tests/unit/errorEstimate.test.ts',
  'tests/unit/fingerS*.test.ts',
  'tests/unit/fit{Lives,Priors,Profile}.test.ts',
  'tests/unit/lifeIndependence.test.ts',
  'tests/unit/planRecipeCli.test.ts',
  'tests/unit/random*.test.ts',
  'tests/unit/regressions.test.ts',
  'tests/unit/sweepKept.test.ts',
  'tests/unit/validation.test.ts',
  'tests/unit/videoRecordings.test.ts',
  'tests/verification/breakUp.test.ts',
  'tests/verification/chosenDrops.test.ts',
  'tests/verification/fit*.test.ts',
  'tests/verification/lifeRuns.test.ts',
  'tests/verification/mechanisms.test.ts',
  'tests/verification/realLiquids.test.ts',
  'tests/verification/rim*.test.ts',
  'tests/verification/spaceOrder.test.ts',
  'tests/verification/wholeChain.test.ts',
]

/** Long ones that take part all the same where they are the only test of a good piece of it. */
const YET: Record<string, readonly string[]> = {
  'src/plan': ['tests/unit/validation.test.ts'],
  'src/measured': ['tests/unit/fit{Lives,Priors,Profile}.test.ts'],
}

/** It holds the plain engine to the compiled one, which has no mutants: all would fall, whatever the other tests are worth. */
const ORACLE = 'tests/unit/engine.test.ts'

/** The files that are left out for a part. */
export function leftOut(part: string): string[] {
  const yet = Object.entries(YET).flatMap(([folder, files]) => (part.startsWith(folder) ? files : []))
  const left = LONG.filter((file) => !yet.includes(file))
  return part.startsWith('src/engine') ? [...left, ORACLE] : left
}
