import { type BathFields, DEEP_FIELDS, SHORT_FIELDS } from '../model/bathFields.ts'
import { RODAS4, ROS3, type RosenbrockMethod } from '../numerics/rosenbrock.ts'
import type { Preset } from './types.ts'

/** Mesh, method, tolerance and bath fields of a run. */
export interface Accuracy {
  inner: number
  outer: number
  rtol: number
  /** Absolute tolerance of thickness, m. */
  thicknessFloor: number
  method: RosenbrockMethod
  fields: BathFields
}

const CHOICES: Record<Preset['model']['accuracy'], Accuracy> = {
  quick: { inner: 40, outer: 16, rtol: 2e-2, thicknessFloor: 2e-9, method: ROS3, fields: SHORT_FIELDS },
  normal: { inner: 80, outer: 24, rtol: 5e-3, thicknessFloor: 2e-9, method: ROS3, fields: DEEP_FIELDS },
  fine: { inner: 160, outer: 40, rtol: 1e-3, thicknessFloor: 1e-9, method: RODAS4, fields: DEEP_FIELDS },
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
