import type { Line } from '../src/life/hands.ts'

/** The way to another worker through a port of the browser. */
export const lineOf = (port: MessagePort): Line => ({
  send: (message, handOver) => port.postMessage(message, handOver),
  hear(listener) {
    port.onmessage = ({ data }) => listener(data)
  },
})
