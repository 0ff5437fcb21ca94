/** In what two plans differ, key by key. Pure. */

import { shortened } from '../../life/problemWords.ts'
import { isGroup } from '../../liquids/own/messageWords.ts'

const text = (value: unknown): string =>
  value === undefined ? 'not there' : shortened(JSON.stringify(value), 80)

/** Sentences, one for each key that is not the same: "inputs.drop.volume_uL.to was 20, now is 25". None where nothing differs. */
export function planDifferences(was: unknown, now: unknown, path = ''): string[] {
  if (isGroup(was) && isGroup(now)) {
    const names = [...new Set([...Object.keys(was), ...Object.keys(now)])]
    const inside = names.flatMap((name) =>
      planDifferences(was[name], now[name], path === '' ? name : `${path}.${name}`),
    )
    const order = inside.length === 0 && Object.keys(was).join('\n') !== Object.keys(now).join('\n')
    return order
      ? [
          `the order of ${path || 'the plan'} was ${Object.keys(was).join(', ')}, now is ${Object.keys(now).join(', ')}`,
        ]
      : inside
  }
  return JSON.stringify(was) === JSON.stringify(now) ? [] : [`${path} was ${text(was)}, now is ${text(now)}`]
}
