/** What a run leaves to the drop of the page. */
import type { CurveMeta } from './types.ts'

const CONDITIONS = [
  'alcoholFraction',
  'volume_uL',
  'alcohol',
  'oil',
  'depth_mm',
  'temperature_C',
  'relativeHumidity',
] as const satisfies readonly (keyof CurveMeta)[]

/**
 * What of the page's drop stands for a run that states nothing, or not its strength or its volume, in words; '' where both are
 * stated. What belongs to the bath and the room is often the same for all runs, and then stated by the page's drop alone.
 */
export function unstatedWords(meta: CurveMeta): string {
  if (CONDITIONS.every((key) => meta[key] === undefined))
    return 'conditions not stated: the page’s drop is used'
  const open = [
    ...(meta.alcoholFraction === undefined ? ['strength'] : []),
    ...(meta.volume_uL === undefined ? ['volume'] : []),
  ]
  if (open.length === 0) return ''
  return `${open.join(' and ')} not stated: ${open.length > 1 ? 'those' : 'that'} of the page’s drop ${open.length > 1 ? 'are' : 'is'} used`
}
