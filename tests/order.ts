/** The order of the test files: those of a process of their own, then the others, in both the long ones first. */
import { join } from 'node:path'
import { BaseSequencer, type TestSpecification } from 'vitest/node'
import { filesOfMany, ROOT } from './testFiles.ts'

export class LongFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const long = new Set(filesOfMany().map((file) => join(ROOT, file)))
    const place = ({ project, moduleId }: TestSpecification) =>
      (project.config.isolate ? 0 : 2) + (long.has(moduleId) ? 0 : 1)
    return (await super.sort(files)).sort((a, b) => place(a) - place(b))
  }
}
