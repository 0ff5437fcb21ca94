/** What a thread of the command line does: lives that the command asks for. */
import { parentPort } from 'node:worker_threads'
import { lend, OwnHand } from '../life/hands.ts'
import { breath } from './breath.ts'

const port = parentPort!
const hand = new OwnHand(breath)
lend(hand, {
  send: (message, handOver) => port.postMessage(message, handOver),
  hear: (listener) => void port.on('message', listener),
})
await hand.warmUp()
port.postMessage('ready')
