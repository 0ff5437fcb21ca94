/** What facts are measured on: lives of presets, their rims, and the liquids of the library. */
import { defaultPreset, type Leaf, setKeys } from '../../life/preset.ts'
import type { Life, Preset } from '../../life/types.ts'
import { mixtureOf, oilOf, water } from '../../liquids/registry.ts'
import type { Mixture, Oil, Water } from '../../liquids/types.ts'
import { type Fingers, fingersOf } from '../../rim/fingers.ts'
import { tensionNeighbours } from '../neighbours.ts'
import { type RunLike, Work, type WorkHooks } from '../work.ts'

/** There is no number to judge, and why. */
export class NoNumber extends Error {}
/** The work was stopped. */
export class Stopped extends Error {}

/** Liquids by id; replaced in tests. */
export interface Liquids {
  mixture(id: string): Mixture
  oil(id: string): Oil
  water: Water
}

export const LIBRARY: Liquids = { mixture: mixtureOf, oil: oilOf, water }

/** Values of preset keys that differ from the defaults. */
export type Changes = Readonly<Record<string, Leaf>>

/** A life without its fields over the radius, of which nobody asks here. */
export type Told = Pick<Life, 'preset' | 'series' | 'summary' | 'facts'>

export class Bench {
  private readonly lives = new Map<string, Promise<Told>>()
  private readonly rims = new Map<string, Promise<Fingers>>()
  private readonly work: Work

  constructor(
    run: RunLike,
    private readonly hooks: WorkHooks = {},
    readonly liquids: Liquids = LIBRARY,
  ) {
    const { progress: _, ...rest } = hooks
    this.work = new Work(run, rest, 0)
  }

  /** Why lives failed that were asked for. */
  get failures(): readonly string[] {
    return this.work.failures
  }

  /** A drop as a user sets it: the defaults, with changes. @throws NoNumber if a change is not permitted */
  preset(changes: Changes): Preset {
    const made = setKeys(defaultPreset(), Object.entries(changes))
    if (!made.ok) throw new NoNumber(made.problems.map(({ message }) => message).join(' '))
    return made.preset
  }

  /** The life of a drop; each is computed once. @throws NoNumber if it failed, Stopped */
  life(changes: Changes): Promise<Told> {
    return kept(this.lives, changes, async () => {
      const life = await this.work.life(this.preset(changes))
      if (life) {
        const { preset, series, summary, facts } = life
        return { preset, series, summary, facts }
      }
      if (this.work.stopped) throw new Stopped()
      throw new NoNumber(`a life failed: ${this.work.failures.at(-1)}`)
    })
  }

  /** How the rim of a drop breaks, the full calculation. @throws NoNumber if there is no life, Stopped */
  fingers(changes: Changes): Promise<Fingers> {
    return kept(this.rims, changes, async () => {
      const preset = this.preset(changes)
      const { pause, cancelled } = this.hooks
      const fingers = await fingersOf(preset, {
        ...(pause && { pause }),
        ...(cancelled && { cancelled }),
        neighbours: tensionNeighbours(preset),
      })
      this.heed()
      if (!fingers) throw new NoNumber('the life whose rim was asked for failed')
      return fingers
    })
  }

  /** Lets a stop be heard. @throws Stopped */
  async breathe(): Promise<void> {
    await this.hooks.pause?.()
    this.heed()
  }

  /** @throws Stopped */
  heed(): void {
    if (this.hooks.cancelled?.()) throw new Stopped()
  }
}

function kept<T>(known: Map<string, Promise<T>>, changes: Changes, make: () => Promise<T>): Promise<T> {
  const name = JSON.stringify(Object.entries(changes).sort(([a], [b]) => (a < b ? -1 : 1)))
  const found = known.get(name) ?? make()
  known.set(name, found)
  return found
}

/** The oil takes up no alcohol. */
export const NO_UPTAKE: Changes = { 'bath.solubility': 0 }

/** The drop stays as warm as the room. */
export const NO_COOLING: Changes = { 'mechanisms.cooling': false }

/** Nothing leaves the drop. */
export const NOTHING_LEAVES: Changes = {
  'air.mode': 'constant',
  'air.constantRate_umPerS': 0,
  ...NO_UPTAKE,
}
