/** Measured curves as files to keep. */
import { writeCurvesFile } from '../../measured/curvesFile.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { writeCurves } from '../../measured/write.ts'
import { fileNameOf, saveText } from '../presets.ts'

/** The whole set with all that is known, as one file that the page reads again. */
export const saveCurves = (curves: readonly MeasuredCurve[]): void =>
  saveText('measured-curves.json', writeCurvesFile(curves), 'application/json')

/** A table for other programs. */
export function saveTable(curves: readonly MeasuredCurve[]): void {
  const name =
    curves.length === 1 ? fileNameOf(curves[0]!.name).replace(/json$/, 'csv') : 'measured-curves.csv'
  saveText(name, writeCurves(curves), 'text/csv')
}
