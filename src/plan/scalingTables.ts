/** The figures of a scaling as tables and as one object: what page, report and command line show. Pure. */
import type { Scatter } from '../measured/scaling.ts'
import type { ScaleRow, ScalingReport, TrendPoint } from './scalingReport.ts'
import type { Column, Table } from './table.ts'

interface Field<Row> extends Column {
  of(row: Row): string | number
}

const cell = <Row>(
  name: string,
  label: string,
  unit: string,
  of: (row: Row) => string | number,
): Field<Row> => ({ name, label, unit, of })

function tableOf<Row>(title: string, cells: readonly Field<Row>[], rows: readonly Row[]): Table {
  return { title, columns: cells, rows: rows.map((row) => cells.map(({ of }) => of(row))) }
}

const seriesCells: readonly Field<ScaleRow>[] = [
  cell('series', 'Series', '', ({ item }) => item.name),
  cell('kind', 'Kind', '', ({ item }) => item.kind),
]

const inputCells: readonly Field<ScaleRow>[] = [
  ...seriesCells,
  cell('alcohol_percent_mass', 'alcohol', '% by mass', ({ item }) => item.strength.mass),
  cell('phi0', 'φ0', 'by volume', ({ item }) => item.inputs!.phi0),
  cell('volume_uL', 'Ω0', 'µL', ({ item }) => 1e9 * item.inputs!.volume),
  cell('spreading_mN_per_m', 'S', 'mN/m', ({ item }) => 1e3 * item.inputs!.spreading),
  cell('depth_mm', 'H', 'mm', ({ item }) => 1e3 * item.inputs!.depth),
  cell('oil_viscosity_mPa_s', 'ηo', 'mPa·s', ({ item }) => 1e3 * item.inputs!.oilViscosity),
  cell(
    'evaporation_um_per_s',
    'j_v',
    'µm/s',
    ({ item }) => (1e6 * item.inputs!.startFlux) / item.inputs!.phi0,
  ),
  cell('drop_viscosity_mPa_s', 'η', 'mPa·s', ({ item }) => 1e3 * item.inputs!.viscosity),
  cell('thickness_mm', 'h0', 'mm', ({ item }) => 1e3 * item.inputs!.thickness),
]

/** What the scales are made of, a row per series. */
export const inputsTable = ({ groups }: ScalingReport): Table =>
  tableOf('What R* and t* are made of', inputCells, groups.rows)

const ratioCells: readonly Field<ScaleRow>[] = [
  ...seriesCells,
  cell('R_max_mm', 'R_max', 'mm', ({ item }) => 1e3 * item.maxRadius),
  { ...cell<ScaleRow>('R_max_error_mm', '± 1 σ', 'mm', ({ item }) => 1e3 * item.maxRadiusError), digits: 2 },
  cell('t_collapse_s', 't_collapse', 's', ({ collapse }) => collapse),
  { ...cell<ScaleRow>('t_collapse_error_s', '± 1 σ', 's', ({ collapseError }) => collapseError), digits: 2 },
  cell('R_star_mm', 'R*', 'mm', ({ scales }) => 1e3 * scales.radius),
  cell('R_max_per_R_star', 'R_max/R*', '', ({ bath }) => bath.radius),
  cell('t_star_s', 't*', 's', ({ scales }) => scales.time),
  cell('t_collapse_per_t_star', 't_collapse/t*', '', ({ bath }) => bath.time),
  cell('R_star_film_mm', 'R* film', 'mm', ({ scales }) => 1e3 * scales.filmRadius),
  cell('R_max_per_R_star_film', 'R_max/R* film', '', ({ film }) => film.radius),
  cell('t_star_film_s', 't* film', 's', ({ scales }) => scales.filmTime),
  cell('t_collapse_per_t_star_film', 't_collapse/t* film', '', ({ film }) => film.time),
]

/** Scales and ratios by both groupings, a row per series. */
export const ratiosTable = ({ groups }: ScalingReport): Table =>
  tableOf('Scales and ratios', ratioCells, groups.rows)

const trendCells: readonly Field<TrendPoint>[] = [
  cell('series', 'Series', '', ({ name }) => name),
  cell('kind', 'Kind', '', ({ kind }) => kind),
  cell('alcohol_percent_mass', 'alcohol', '% by mass', ({ strength }) => strength.mass),
  cell('alcohol_percent_volume', 'alcohol', '% by volume', ({ strength }) => strength.volume),
  cell('R_max_mm', 'R_max', 'mm', ({ radius }) => 1e3 * radius),
  { ...cell<TrendPoint>('error_mm', 'error', 'mm', ({ error }) => 1e3 * error), digits: 2 },
]

/** The points behind the lines of the largest radius. */
export const trendTable = ({ trend }: ScalingReport): Table =>
  tableOf('Largest radius against alcohol', trendCells, trend.points)

interface MeanRow {
  grouping: string
  kind: string
  of: Scatter
}

const meanCells: readonly Field<MeanRow>[] = [
  cell('grouping', 'Grouping', '', ({ grouping }) =>
    grouping === 'film' ? 'film (a reconstruction)' : 'bath',
  ),
  cell('kind', 'Series', '', ({ kind }) => kind),
  cell('count', 'count', '', ({ of }) => String(of.count)),
  cell('mean', 'mean', '', ({ of }) => of.mean),
  { ...cell<MeanRow>('scatter', 'scatter', '', ({ of }) => of.deviation), digits: 2 },
  { ...cell<MeanRow>('standard_error', 'standard error', '', ({ of }) => of.meanError), digits: 2 },
]

/** Mean, scatter and standard error of the ratios R_max/R*. */
export function meansTable({ groups }: ScalingReport): Table {
  const kinds = ['measured', 'simulated', 'all'] as const
  const rows = (['bath', 'film'] as const).flatMap((grouping) =>
    kinds
      .filter((kind) => groups[grouping][kind].count > 0)
      .filter(
        (kind) => kind !== 'all' || groups[grouping].measured.count * groups[grouping].simulated.count > 0,
      )
      .map((kind) => ({ grouping, kind, of: groups[grouping][kind] })),
  )
  return tableOf('R_max/R*, means', meanCells, rows)
}
