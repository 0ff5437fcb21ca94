let counter = 0

/** A short id, unique within this visit. */
export const newId = (stem: string): string => `${stem}-${++counter}`
