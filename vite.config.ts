import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vite'
import { ensureEngine } from './src/cli/engineBuild.mjs'

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))

// Sources that are changed for `npm run mutants` are not compiled.
if (!process.env.RIMTIDE_PART) await ensureEngine()

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
})
