/** Parts of the report on measured curves: how they were made, and what repetitions give. */
import { repetitionsOf } from '../../measured/replicates.ts'
import { madeTable, repetitionsTable } from '../../plan/madeTables.ts'
import { offerPart } from '../report/parts.ts'
import { type Store, shownCurves } from '../store.ts'

const madeWords =
  'SHA-256 names the very bytes of a file; of several pictures it is that of their sums in the order of their names. The scale’s ± is one standard uncertainty and common to all points of a curve.'
const repeatedWords =
  'Mean and standard deviation (SD) of the runs of a group, at the moment of the largest mean radius, over the times that all runs cover. A standard deviation from few values is itself uncertain (GUM, JCGM 100:2008, E.4.3).'

/** Offers them; gives back the function that takes them away. */
export function offerMadeParts(store: Store): () => void {
  const curves = () => shownCurves(store.getState())
  const repeated = () => repetitionsOf(curves()).some(({ curves: own }) => own.length > 1)
  const ends = [
    offerPart({
      id: 'repetitions',
      label: 'Repetitions: mean and standard deviation',
      order: 32,
      first: true,
      lacks: () => (repeated() ? '' : 'no two measured series are of one group'),
      make: () => [{ title: 'Repetitions', caption: repeatedWords, table: repetitionsTable(curves()) }],
    }),
    offerPart({
      id: 'made',
      label: 'How the curves were made',
      order: 34,
      first: true,
      lacks: () =>
        curves().some(({ provenance }) => provenance) ? '' : 'of no measured series is known how it was made',
      make: () => [{ title: 'How the curves were made', caption: madeWords, table: madeTable(curves()) }],
    }),
  ]
  return () => {
    for (const end of ends) end()
  }
}
