/** The picture in words, for those who do not see it. */
import type { Life } from '../../life/types.ts'
import type { Fields } from '../../life/view.ts'
import { beadsText } from '../beads.ts'
import { duration, length } from '../format.ts'
import { marksAt } from '../plots/shown.ts'
import type { Framing } from './framing.ts'

const degrees = (angle: number): string => `${Math.round((angle * 180) / Math.PI)}°`

/** From where the drop is seen; '' for the look that the stage begins with. */
function lookText(frame: Framing): string {
  if (frame.start) return ''
  const tilt = frame.whole ? 'from above, whole' : `${degrees(frame.tilt)} from above, cut open`
  const side = frame.turn > 0 ? 'right' : 'left'
  return ` Seen ${tilt}${frame.turn === 0 ? '' : `, turned ${degrees(Math.abs(frame.turn))} to the ${side}`}.`
}

/** @param heights what the picture says about its heights */
export function dropText(life: Life, fields: Fields, frame: Framing, heights: string): string {
  const marks = marksAt(life, fields.time)
  const thin = marks.thinRadius > 0 ? ` Thin spot ${length(marks.thin)} at ${length(marks.thinRadius)}.` : ''
  const beads = beadsText(marks.beads)
  const rim = marks.ringRadius > 0 ? ` Rim ${length(marks.ring)} high${beads && `, ${beads}`}.` : ''
  const size = `radius ${length(fields.R)}, centre ${length(fields.h[0]!)} thick`
  return `The drop ${duration(fields.time)} after touch-down: ${size}.${thin}${rim} ${heights}.${lookText(frame)}`
}
