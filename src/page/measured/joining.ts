/** Curves that come in beside those that are here. */
import { sameCurve } from '../../measured/sameCurve.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { freeName, freshCurveId } from './changes.ts'

export interface Joined {
  /** To be added, each with an id and a name that no other curve has. */
  fresh: MeasuredCurve[]
  /** How many are here already, under whatever name. */
  known: number
  /** How many were changed here since, so that the incoming version stands beside. */
  beside: number
}

/** What is to be added of `incoming` to `here`; nothing that is here is replaced. `from`: the file, for names. */
export function joinCurves(
  here: readonly MeasuredCurve[],
  incoming: readonly MeasuredCurve[],
  from: string,
): Joined {
  const joined: Joined = { fresh: [], known: 0, beside: 0 }
  for (const curve of incoming) {
    const all = [...here, ...joined.fresh]
    if (here.some((one) => sameCurve({ ...one, name: curve.name }, curve))) {
      joined.known++
      continue
    }
    const changed = all.some(({ id }) => id === curve.id)
    if (changed) joined.beside++
    const taken = all.some(({ name }) => name === curve.name)
    joined.fresh.push({
      ...curve,
      id: changed ? freshCurveId() : curve.id,
      name: taken ? freeName(`${curve.name} (from ${from})`, all) : curve.name,
    })
  }
  return joined
}

/** What was not simply added, in words; '' if nothing. */
export function joinedWords({ known, beside }: Joined): string {
  const words: string[] = []
  if (known > 0)
    words.push(known === 1 ? 'One curve was here already.' : `${known} curves were here already.`)
  if (beside > 0)
    words.push(
      beside === 1
        ? 'One differs from its namesake here and stands beside it.'
        : `${beside} differ from their namesakes here and stand beside them.`,
    )
  return words.join(' ')
}
