/** Errors that once went unnoticed, kept alive: each must make one of its tests fail (`npm run -s planted`). */

export interface Planted {
  name: string
  file: string
  /** Text that stands in the file exactly once, and what takes its place. */
  line: string
  error: string
  /** Test files that must notice it. */
  tests: readonly string[]
}

const FILM = ['tests/unit/jointsFilm.test.ts']
const LIFE = ['tests/unit/jointsLife.test.ts']
const VIEWS = ['tests/unit/jointsViews.test.ts']

export const PLANTED: readonly Planted[] = [
  {
    name: 'sign of the pressure in the surface speed that is recorded',
    file: 'src/life/recorder.ts',
    line: '(pullTop - lean)',
    error: '(pullTop + lean)',
    tests: FILM,
  },
  {
    name: 'capillary pull of the edge that is recorded, the tensions left out',
    file: 'src/life/recorder.ts',
    line: '(sys.edgePull - gammaO + sys.sigma[N - 1]) / gap',
    error: 'sys.edgePull / gap',
    tests: FILM,
  },
  {
    name: 'break-up of the ring after a tenth of an e-folding more',
    file: 'src/model/breakUp.ts',
    line: 'Math.max(1, log(ridge.base / NOISE))',
    error: 'Math.max(1, log(ridge.base / NOISE) + 0.1)',
    tests: LIFE,
  },
  {
    name: 'factor of shear dispersion 2/103',
    file: 'src/engine/faces.ts',
    line: ') / 105)',
    error: ') / 103)',
    tests: FILM,
  },
  {
    name: 'what has been overdrawn evaporates further',
    file: 'src/engine/cells.ts',
    line: '(q.phi[i] < 0 ? size : product)',
    error: 'product',
    tests: LIFE,
  },
  {
    name: 'sign of the weight in the film pressure',
    file: 'src/engine/cells.ts',
    line: '+ buoyancy * h[i]',
    error: '- buoyancy * h[i]',
    tests: FILM,
  },
  {
    name: 'sign of the buoyancy of the drop',
    file: 'src/life/problemOf.ts',
    line: '(1 - density / oilDensity)',
    error: '(density / oilDensity - 1)',
    tests: FILM,
  },
  {
    name: 'level of the collapse 2 % too high, by the largest radius',
    file: 'src/life/summary.ts',
    line: 'Math.max(0.3 * maximum,',
    error: 'Math.max(0.306 * maximum,',
    tests: LIFE,
  },
  {
    name: 'level of the collapse 2 % too high, by the resting lens',
    file: 'src/life/summary.ts',
    line: 'Number.isFinite(rest) ? 1.2 * rest : 0',
    error: 'Number.isFinite(rest) ? 1.224 * rest : 0',
    tests: LIFE,
  },
  {
    name: 'radial axis without room beside the drop',
    file: 'src/page/spans.ts',
    line: 'Math.min(dish, 1.12 * Math',
    error: 'Math.min(dish, 1 * Math',
    tests: VIEWS,
  },
  {
    name: 'lower reach drawn upward in the plot',
    file: 'src/page/plots/tracesModel.ts',
    line: 'r - side.down[i]!',
    error: 'r + side.down[i]!',
    tests: VIEWS,
  },
  {
    name: 'lower reach drawn upward on the clock strip',
    file: 'src/page/clock/drawing.ts',
    line: 'R - down[i]!',
    error: 'R + down[i]!',
    tests: VIEWS,
  },
  {
    name: '"wider" and "narrower" swapped in the answer of a report',
    file: 'src/plan/answer.ts',
    line: "bias > 0 ? 'wider' : 'narrower'",
    error: "bias > 0 ? 'narrower' : 'wider'",
    tests: VIEWS,
  },
  {
    name: '"wider" and "narrower" swapped beside a measured curve',
    file: 'src/page/measured/residual.ts',
    line: "compared.bias > 0 ? 'wider' : 'narrower'",
    error: "compared.bias > 0 ? 'narrower' : 'wider'",
    tests: VIEWS,
  },
  {
    name: 'norm of the error over two thirds of the components',
    file: 'src/engine/errorNorm.ts',
    line: 'sum / (3 * (cells as f64))',
    error: 'sum / (2 * (cells as f64))',
    tests: LIFE,
  },
  {
    name: 'start-up of still air halved',
    file: 'src/model/vapourSpeeds.ts',
    line: 'set[START_UP] = (2 / Math.sqrt',
    error: 'set[START_UP] = (1 / Math.sqrt',
    tests: LIFE,
  },
  {
    name: 'thinnest film from half of the largest radius on',
    file: 'src/life/summary.ts',
    line: 'series.R[k] < 0.8 * maximum.R',
    error: 'series.R[k] < 0.5 * maximum.R',
    tests: LIFE,
  },
  {
    name: 'volume of a child drop upside down in their number',
    file: 'src/life/recorder.ts',
    line: '3 / (4 * Math.PI * radius * radius * radius)',
    error: '3 * (4 * Math.PI * radius * radius * radius)',
    tests: LIFE,
  },
  {
    name: 'speed of the oil beside the drop recorded two faces off',
    file: 'src/life/recorder.ts',
    line: 'y[sys.outerAt + m * (K - 1) + k - 1]',
    error: 'y[sys.outerAt + m * (K - 1) + k + 1]',
    tests: LIFE,
  },
  {
    name: 'error of a life without the difference of the curves',
    file: 'src/life/errors.ts',
    line: 'k < MOMENTS; k++',
    error: 'k < 0; k++',
    tests: ['tests/unit/jointsErrors.test.ts'],
  },
  {
    name: 'liquid followed back in the wrong cells of the first moment',
    file: 'src/life/budget.ts',
    line: 'const at = row * inner + i',
    error: 'const at = row * inner - i',
    tests: FILM,
  },
]
