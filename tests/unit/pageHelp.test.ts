/** The help beside a control finds the data behind it. Common practice, no source. */
import { describe, expect, it } from 'vitest'
import { KEYS, keyOf } from '../../src/life/keys.ts'
import { defaultPreset, setKeys } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { helpTopics, indexNotes, sourcesOf, sourceWords } from '../../src/page/controls/help.ts'

const alcohols = ['ethanol', '2-propanol', '1-propanol', 'methanol']
const baths = KEYS.flatMap((key) => (key.path === 'bath.liquid' && key.kind === 'choice' ? key.options : []))
  .map(({ value }) => value)
  .filter((value) => value !== 'reference' && value !== 'own')

function factsOf(alcohol: string, bath: string) {
  const made = setKeys(defaultPreset(), [
    ['drop.alcohol', alcohol],
    ['bath.liquid', bath],
  ])
  if (!made.ok) throw new Error(made.problems[0]!.message)
  return problemOf(made.preset).facts.sources
}

describe('sources beside the controls', () => {
  it.each(helpTopics)('%s is a key and has a source for every pair of liquids', (path) => {
    expect(keyOf(path)).toBeDefined()
    for (const alcohol of alcohols) {
      for (const bath of baths) {
        const notes = sourcesOf(path, factsOf(alcohol, bath))
        expect(notes.length, `${alcohol} on ${bath}`).toBeGreaterThan(0)
      }
    }
  })
  it('does not mistake the drop for the oil', () => {
    const sources = factsOf('ethanol', 'castor-oil')
    const quantities = (path: string) => sourcesOf(path, sources).map(({ quantity }) => quantity)
    expect(quantities('bath.viscosity_mPas')).toEqual(['viscosity'])
    expect(quantities('drop.viscosity_mPas').every((q) => /^viscosity (of|away)/.test(q))).toBe(true)
    expect(quantities('interface.decay')).toEqual(['drop/oil tension over the strength'])
  })
  it('the bath tells its refractive index, assumed where nothing is known of the oil', () => {
    const noteOf = (bath: string) =>
      indexNotes('bath.liquid', { ...defaultPreset(), bath: { ...defaultPreset().bath, liquid: bath } })
    for (const bath of baths) expect(noteOf(bath)[0]!.quality, bath).toBe('from memory')
    expect(noteOf('reference')[0]!.quality).toBe('assumed')
    expect(indexNotes('drop.alcohol', defaultPreset())).toEqual([])
  })
  it('every number that rests on a datum has its sources; the others are the bench’s and the mesh’s', () => {
    const bench = ['drop.volume_uL', 'drop.startRadius_mm', 'bath.depth_mm', 'bath.dishRadius_mm']
    const computing = ['model.innerCells', 'model.outerCells', 'model.horizon_s']
    const numbers = KEYS.filter(({ kind }) => kind === 'number').map(({ path }) => path)
    const without = numbers.filter((path) => sourcesOf(path, factsOf('ethanol', 'olive-oil')).length === 0)
    expect(without.sort()).toEqual([...bench, ...computing].sort())
  })
  it('says when the room is outside the temperatures of the data', () => {
    const tension = factsOf('ethanol', 'olive-oil').find(
      ({ quantity }) => quantity === 'tension against air',
    )!
    expect(sourceWords(tension, 22)).not.toMatch(/outside/)
    expect(sourceWords(tension, 28)).toMatch(/the present 28 °C is 3 K outside the data \(20–25 °C\)/)
    const cold = setKeys(defaultPreset(), [['air.temperature_C', 12]])
    if (!cold.ok) throw new Error('preset')
    expect(problemOf(cold.preset).facts.warnings.join()).toMatch(
      /At 12 °C these are extrapolated beyond the measured temperatures.*surface tension of ethanol–water \(20–25 °C\).*tension against pure water/,
    )
    expect(problemOf(defaultPreset()).facts.warnings).toEqual([])
  })
})
