/** A thread that computes lives for a command; TypeScript is loaded as launch.mjs loads it. */
import { register } from 'tsx/esm/api'

register()
await import('./threadHand.ts')
