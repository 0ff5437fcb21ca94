import { RODAS4, ROS3, type RosenbrockMethod } from '../numerics/rosenbrock.ts'
import type { Preset } from './types.ts'

/** Mesh, method and tolerance of a run. */
export interface Accuracy {
  inner: number
  outer: number
  rtol: number
  /** Absolute tolerance of thickness, m. */
  thicknessFloor: number
  method: RosenbrockMethod
}

const CHOICES: Record<Preset['model']['accuracy'], Accuracy> = {
  quick: { inner: 40, outer: 16, rtol: 3e-2, thicknessFloor: 2e-9, method: ROS3 },
  normal: { inner: 80, outer: 24, rtol: 1e-2, thicknessFloor: 2e-9, method: ROS3 },
  fine: { inner: 160, outer: 40, rtol: 1e-3, thicknessFloor: 1e-9, method: RODAS4 },
}

/** The accuracy of a preset, its own cell numbers taking precedence. */
export function accuracyOf(preset: Preset): Accuracy {
  const choice = CHOICES[preset.model.accuracy]
  return {
    ...choice,
    inner: preset.model.innerCells ?? choice.inner,
    outer: preset.model.outerCells ?? choice.outer,
  }
}
