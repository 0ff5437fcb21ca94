import { type BathFields, DEEP_FIELDS, SHORT_FIELDS, THREE_FIELDS } from '../model/bathFields.ts'
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

/** The accuracies of a preset, and one coarser for the companion of a quick life. */
export type Level = Preset['model']['accuracy'] | 'coarse'

/** The level whose lives are compared with those of a level, to estimate its error. */
const COMPANION: Record<Level, Level> = { coarse: 'coarse', quick: 'coarse', normal: 'quick', fine: 'normal' }

const CHOICES: Record<Level, Accuracy> = {
  coarse: { inner: 22, outer: 10, rtol: 4e-2, thicknessFloor: 2e-9, method: ROS3, fields: DEEP_FIELDS },
  quick: { inner: 32, outer: 12, rtol: 2e-2, thicknessFloor: 2e-9, method: ROS3, fields: SHORT_FIELDS },
  normal: { inner: 68, outer: 20, rtol: 5e-3, thicknessFloor: 2e-9, method: ROS3, fields: DEEP_FIELDS },
  fine: { inner: 160, outer: 40, rtol: 1e-3, thicknessFloor: 1e-9, method: RODAS4, fields: DEEP_FIELDS },
}

/**
 * The accuracy of a preset, its own cell numbers taking precedence.
 * @param level another level than the preset's, for a companion life
 */
export function accuracyOf(preset: Preset, level: Level = preset.model.accuracy): Accuracy {
  const choice = CHOICES[level]
  return {
    ...choice,
    fields: preset.model.bath === 'three-field' ? THREE_FIELDS : choice.fields,
    inner: preset.model.innerCells ?? choice.inner,
    outer: preset.model.outerCells ?? choice.outer,
  }
}

/** Level and preset of the coarser life that is computed beside a life to estimate its error. */
export function companionOf(preset: Preset): { preset: Preset; level: Level } {
  const { innerCells, outerCells, ...model } = preset.model
  const fewer = (cells: number, least: number) => Math.max(least, Math.round(0.6 * cells))
  return {
    level: COMPANION[preset.model.accuracy],
    preset: {
      ...preset,
      model: {
        ...model,
        ...(innerCells === undefined ? {} : { innerCells: fewer(innerCells, 12) }),
        ...(outerCells === undefined ? {} : { outerCells: fewer(outerCells, 6) }),
      },
    },
  }
}
