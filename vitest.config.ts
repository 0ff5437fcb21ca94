import { fileURLToPath } from 'node:url'
import { defineConfig, mergeConfig } from 'vitest/config'
import { LongFirst } from './tests/order.ts'
import { filesApart } from './tests/testFiles.ts'
import page from './vite.config.ts'

const apart = filesApart()

export default mergeConfig(
  page,
  defineConfig({
    test: {
      root: fileURLToPath(new URL('.', import.meta.url)),
      testTimeout: 120_000,
      // One worker fewer would leave half of two cores idle.
      maxWorkers: '100%',
      sequence: { sequencer: LongFirst },
      // What keeps no state shares a process: its modules are loaded, and the solver's code is compiled, once.
      projects: [
        { extends: true, test: { name: 'apart', include: apart } },
        {
          extends: true,
          test: { name: 'together', include: ['tests/**/*.test.ts'], exclude: apart, isolate: false },
        },
      ],
    },
  }),
)
