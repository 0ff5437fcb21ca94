import type { Mutant } from '@stryker-mutator/api/core'
export function keyOf(mutant: Pick<Mutant, 'fileName' | 'location' | 'mutatorName' | 'replacement'>): string
