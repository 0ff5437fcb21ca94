import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))

export default defineConfig({
  root: here('src/page'),
  base: './',
  build: {
    outDir: here('dist'),
    emptyOutDir: true,
    target: 'es2022',
    chunkSizeWarningLimit: 1200,
  },
  worker: { format: 'es' },
  server: { host: '127.0.0.1', fs: { allow: [here('.')] } },
  preview: { host: '127.0.0.1' },
  test: {
    root: here('.'),
    include: ['tests/**/*.test.ts'],
    testTimeout: 120_000,
  },
})
