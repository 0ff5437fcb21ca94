/**
 * A pause that lets a real task in, so that a message (a stop, a newer run) is heard. Resolved promises do not do
 * that; a message sent to oneself does, without the delay of a timer.
 */
const channel = new MessageChannel()
const waiting: (() => void)[] = []
channel.port1.onmessage = () => waiting.shift()?.()

export const pause = (): Promise<void> =>
  new Promise((resolve) => {
    waiting.push(resolve)
    channel.port2.postMessage(0)
  })
