/** What a key comes to with the present life, in words for its help. Pure. */
import { alcoholShares } from '../../life/alcoholShares.ts'
import type { Life } from '../../life/types.ts'
import { plain } from '../format.ts'

/** The film coefficient and the air speed tell of each other. */
function airWords({ facts }: Life): string {
  const { air } = facts
  if (!air || !(air.speed > 0)) return ''
  const coefficient = `${plain(1e3 * air.filmCoefficient)} mm/s for the alcohol’s vapour`
  const stream = `air of ${plain(air.speed, 2)} m/s over this dish (Re = ${plain(air.reynolds, 2)})`
  return air.fromSpeed
    ? `At present: ${stream} gives a film coefficient of ${coefficient}.`
    : `At present: ${coefficient}, which is what ${stream} would give.`
}

function uptakeWords({ facts, series }: Life): string {
  const { solubility, factor } = facts.uptake
  if (!(solubility > 0)) return 'At present: none.'
  const shares = alcoholShares(series)
  const gone = shares ? ` ${plain(100 * shares.oil, 2)} % of the alcohol went into the oil.` : ''
  const known = factor > 1 ? ` What the oil takes is known to within a factor of ${plain(factor, 2)}.` : ''
  return `At present: ${plain(solubility, 2)}.${gone}${known}`
}

const words: Record<string, (life: Life) => string> = {
  'air.filmCoefficient_mmPerS': airWords,
  'air.speed_mPerS': airWords,
  'bath.solubility': uptakeWords,
  'bath.alcoholDiffusivity_m2PerS': ({ facts }) =>
    `At present: ${facts.uptake.diffusivity.toExponential(1).replace('-', '−')} m²/s.`,
}

export const hasPresentWords = (path: string): boolean => path in words

/** '' if there is nothing to tell. */
export const presentWords = (path: string, life: Life | null): string =>
  life ? (words[path]?.(life) ?? '') : ''
