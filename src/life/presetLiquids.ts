/** The user's own liquids within a preset. */
import { checkOwn } from '../liquids/own/check.ts'
import { didYouMean, isGroup, shown } from '../liquids/own/messageWords.ts'
import { OWN, type OwnKind, type OwnLiquids } from '../liquids/own/types.ts'
import type { Preset, Problem } from './types.ts'

export const OWN_KINDS: readonly OwnKind[] = ['mixture', 'oil']

/** Checks the group "liquids"; what is wrong goes to `problems`. */
export function collectLiquids(value: unknown, problems: Problem[]): OwnLiquids {
  if (value === undefined || value === null) return {}
  if (!isGroup(value)) {
    problems.push({
      where: 'liquids',
      message: `liquids is ${shown(value)}; it must be a group with mixture or oil.`,
    })
    return {}
  }
  const liquids: OwnLiquids = {}
  for (const [name, given] of Object.entries(value)) {
    if (!OWN_KINDS.includes(name as OwnKind)) {
      const where = `liquids.${name.slice(0, 60)}`
      const hint = didYouMean(name, OWN_KINDS)
      problems.push({
        where,
        message: `${where} is not a key of a preset. Permitted in liquids: mixture, oil.${hint}`,
      })
      continue
    }
    if (given === null) continue
    const result = checkOwn(name as OwnKind, given, `liquids.${name}`)
    if (result.ok) liquids[name as OwnKind] = result.liquid
    else problems.push(...result.problems)
  }
  return liquids
}

/** "own" needs a liquid of its kind. */
export function ownRules({ drop, bath, liquids }: Preset): Problem[] {
  const missing = (where: string, kind: OwnKind, what: string): Problem => ({
    where,
    message: `${where} is "own", but the preset holds no liquids.${kind}. Load a liquid file of kind "${kind}" first (Open file on the page, --liquid FILE on the command line), or choose ${what} from the library.`,
  })
  return [
    ...(drop.alcohol === OWN && !liquids?.mixture ? [missing('drop.alcohol', 'mixture', 'an alcohol')] : []),
    ...(bath.liquid === OWN && !liquids?.oil ? [missing('bath.liquid', 'oil', 'an oil')] : []),
  ]
}
