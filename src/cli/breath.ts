/** Lets messages in. */
export const breath = (): Promise<void> => new Promise((resolve) => void setImmediate(resolve))
