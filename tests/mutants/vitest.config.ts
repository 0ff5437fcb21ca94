/** Tests as `npm run mutants` runs them: without the long ones, the quickest first, modules shared between files. */
import { join } from 'node:path'
import { mergeConfig } from 'vitest/config'
import { BaseSequencer, type TestSpecification, type Vitest } from 'vitest/node'
import base from '../../vite.config.ts'
import { leftOut } from './leftOut.ts'

/** A mutant is done with once one test fails: files are tried in order of the time that they last took, unknown ones last. */
class QuickestFirst extends BaseSequencer {
  declare protected ctx: Vitest

  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const root = this.ctx.config.root
    const took = ({ moduleId, project }: TestSpecification) =>
      this.ctx.cache.getFileTestResults(`${project.name}:${moduleId.slice(root.length + 1)}`)?.duration ??
      Number.POSITIVE_INFINITY
    const timed = files.map((file) => ({ file, time: took(file) }))
    return timed.sort((a, b) => (a.time === b.time ? 0 : a.time - b.time)).map(({ file }) => file)
  }
}

const part = process.env.RIMTIDE_PART ?? ''
const only = process.env.RIMTIDE_TESTS?.split(' ').filter(Boolean) ?? []

export default mergeConfig(base, {
  test: {
    root: join(import.meta.dirname, '../..'),
    include: only.length > 0 ? only : ['tests/**/*.test.ts'],
    testTimeout: 120_000,
    // The compiled engine is made from sources without mutants.
    setupFiles: part.startsWith('src/engine') ? ['tests/mutants/plainEngine.ts'] : [],
    exclude: leftOut(part),
    isolate: false,
    sequence: { sequencer: QuickestFirst },
  },
})
