import type { Preset } from '../../src/life/types.ts'

export interface BrowserRow {
  life: string
  first_ms: number
  median_ms: number
}

export function measureInBrowser(presets: Record<string, Preset>, repeats?: number): Promise<BrowserRow[]>
