/**
 * Two plugins for Stryker. Checker: lets through the mutants that are listed in the file that RIMTIDE_MUTANTS names; the others
 * are not run and not counted. Reporter: tells at once what no test noticed.
 */
import { readFileSync } from 'node:fs'
import { CheckStatus } from '@stryker-mutator/api/check'
import { declareFactoryPlugin, PluginKind } from '@stryker-mutator/api/plugin'
import { keyOf, textOf } from './key.mjs'

function chosenChecker() {
  const chosen = new Set(JSON.parse(readFileSync(process.env.RIMTIDE_MUTANTS, 'utf8')))
  const judge = (mutant) =>
    chosen.has(keyOf(mutant))
      ? { status: CheckStatus.Passed }
      : { status: CheckStatus.CompileError, reason: 'not in the sample' }
  return {
    init: async () => {},
    check: async (mutants) => Object.fromEntries(mutants.map((mutant) => [mutant.id, judge(mutant)])),
    group: async (mutants) => [mutants.map(({ id }) => id)],
  }
}

const survivorReporter = () => ({
  onMutantTested(result) {
    if (['Survived', 'NoCoverage'].includes(result.status)) process.stdout.write(`${textOf(result)}\n`)
  },
})

export const strykerPlugins = [
  declareFactoryPlugin(PluginKind.Checker, 'chosen', chosenChecker),
  declareFactoryPlugin(PluginKind.Reporter, 'survivors', survivorReporter),
]
