/** Lives of curves' own drops beside their points, and the points as rows of a table. */
import { Foresight, type LifeRunner } from '../life/lives.ts'
import type { Preset } from '../life/types.ts'
import { curvePreset } from '../measured/fit/curvePreset.ts'
import { courseOfDrop, dropName, laidOn } from '../measured/fit/ownDrop.ts'
import type { Course, LifeFit } from '../measured/fit/types.ts'
import type { MeasuredCurve } from '../measured/types.ts'
import { usedPoints } from '../measured/usable.ts'
import { WrongInput } from './command.ts'
import type { Compared, Fitted, PointRow } from './compareObject.ts'

/** The life of each curve's own drop beside its points. */
export async function besides(
  preset: Preset,
  curves: readonly MeasuredCurve[],
  run: LifeRunner,
): Promise<Compared[]> {
  const known = new Map<string, Course>()
  const all: Compared[] = []
  const foresight = new Foresight(run, () => false)
  const drops = curves.map((curve) => {
    const own = curvePreset(preset, curve)
    if (!own.ok) throw new WrongInput(own.problems.map((p) => p.message))
    return { curve, own }
  })
  const begin = ({ own }: (typeof drops)[number]) => {
    if (!known.has(dropName(own.preset))) foresight.begin(own.preset)
  }
  for (const { curve, own } of foresight.over(drops, begin)) {
    const name = dropName(own.preset)
    const course = known.get(name) ?? (await courseOfDrop(own.preset, (one) => foresight.life(one)))
    known.set(name, course)
    const far = laidOn(curve, course)
    const { residual } = far
    const life = usedPoints(curve).radius.map((R, i) => R - residual[i]!)
    all.push({
      curve,
      preset: own.preset,
      far,
      life,
      residual,
      outcome: course.outcome,
      failed: course.failed,
    })
  }
  return all
}

/** All points beside the drop as it stands, then beside each fit. */
export function rowsOf(compared: readonly Compared[], fits: readonly Fitted[]): PointRow[] {
  const plain = compared.flatMap(({ curve, life, residual }) => {
    const { time, radius, uncertainty } = usedPoints(curve)
    return Array.from(time, (t, i) => ({
      fit: '',
      curve: curve.name,
      t,
      R: radius[i]!,
      sigma: uncertainty?.[i] ?? Number.NaN,
      life: life[i]!,
      residual: residual[i]!,
    }))
  })
  const fitted = fits.flatMap(({ name, fit: one }) => (one ? rowsOfFit(name, one) : []))
  return [...plain, ...fitted]
}

const rowsOfFit = (name: string, { curves }: LifeFit): PointRow[] =>
  curves.flatMap((curve) =>
    Array.from(curve.time, (t, i) => ({
      fit: name,
      curve: curve.name,
      t,
      R: curve.radius[i]!,
      sigma: curve.sigma[i]!,
      life: curve.radius[i]! - curve.residual[i]!,
      residual: curve.residual[i]!,
    })),
  )
