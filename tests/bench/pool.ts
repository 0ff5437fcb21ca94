/** Lives a second on all cores: one process per core, each running the same life for a while. */
import { spawn } from 'node:child_process'
import { availableParallelism } from 'node:os'
import { fileURLToPath } from 'node:url'
import { runLifeSync } from '../../src/life/run.ts'
import type { Preset } from '../../src/life/types.ts'

const self = fileURLToPath(import.meta.url)

function child(preset: Preset, seconds: number): Promise<number> {
  const input = JSON.stringify({ preset, seconds })
  const started = spawn(process.execPath, ['--import', 'tsx', self, input], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  let text = ''
  started.stdout.on('data', (piece) => {
    text += piece
  })
  return new Promise((resolve, reject) => {
    started.once('error', reject)
    started.once('close', () => resolve(Number(text)))
  })
}

/** Lives per second of all cores together over `seconds`. */
export async function livesPerSecond(
  preset: Preset,
  seconds: number,
): Promise<{ rate: number; cores: number }> {
  const cores = availableParallelism()
  const rates = await Promise.all(Array.from({ length: cores }, () => child(preset, seconds)))
  return { rate: rates.reduce((sum, rate) => sum + rate, 0), cores }
}

function work({ preset, seconds }: { preset: Preset; seconds: number }): number {
  const warm = performance.now() + 1000
  while (performance.now() < warm) runLifeSync(preset)
  const start = performance.now()
  let lives = 0
  while (performance.now() < start + 1000 * seconds) {
    runLifeSync(preset)
    lives++
  }
  return lives / ((performance.now() - start) / 1000)
}

if (process.argv[1] === self) process.stdout.write(String(work(JSON.parse(process.argv[2]!))))
