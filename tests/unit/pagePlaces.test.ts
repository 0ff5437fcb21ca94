/** The four places: what is in sight where, and the part of the address that says so. Common practice, no source. */
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { defaultPreset, presetFromLink, presetToLink } from '../../src/life/preset.ts'
import { seenToLink, wantedOf } from '../../src/page/places/address.ts'
import { inSight, nameOf, PLACES, SECTIONS, spotOf } from '../../src/page/places/places.ts'
import { createPageStore } from '../../src/page/store.ts'

const spots = PLACES.flatMap(({ id, parts }) =>
  parts.length > 0 ? parts.map((part) => ({ place: id, part: part.id })) : [{ place: id, part: '' }],
)
const closed = { physics: false, drawer: false, room: false }
const html = readFileSync(new URL('../../src/page/index.html', import.meta.url), 'utf8')

describe('what is in sight', () => {
  it('shows each part in its own place and nowhere else', () => {
    for (const { id } of PLACES.flatMap(({ parts }) => parts)) {
      expect(spots.filter((spot) => inSight(id, { ...spot, ...closed })).map(nameOf)).toEqual([id])
    }
  })
  it('shows sentence, strength and volume everywhere but in a classroom', () => {
    for (const spot of spots) {
      for (const id of ['sentence', 'large']) {
        expect(inSight(id, { ...spot, ...closed })).toBe(true)
        expect(inSight(id, { ...spot, ...closed, room: true })).toBe(false)
      }
    }
  })
  it('shows the drop and the step in a classroom, whatever the place', () => {
    for (const spot of spots) {
      const sight = { ...spot, ...closed, drawer: true, physics: true, room: true }
      expect(SECTIONS.filter((id) => inSight(id, sight)).sort()).toEqual(['rim', 'stage'])
    }
  })
  it('has an element for every section, hidden at first where the first place does not show it', () => {
    const first = { place: 'watch', part: '', ...closed } as const
    for (const id of SECTIONS) {
      const tag = new RegExp(`<(section|nav|p) id="${id}"[^>]*>`).exec(html)?.[0] ?? ''
      expect([id, tag !== '' && !/ hidden>/.test(tag)]).toEqual([id, inSight(id, first)])
    }
  })
})

describe('the address', () => {
  const { getState } = createPageStore(defaultPreset())
  const camera = { turn: Math.PI / 6, tilt: Math.PI / 4, zoom: 1.5, panX: 0.002, panY: -0.001 }
  it('is empty beside the drop at the start', () => {
    expect(seenToLink(getState())).toBe('')
  })
  it('brings every spot back, and what is seen there', () => {
    for (const spot of spots) {
      const seen = {
        ...getState(),
        ...spot,
        step: 4,
        time: 1.25,
        restAtMaximum: false,
        colourBy: 'mono',
        wavelength: 633,
        camera,
        without: ['evaporation', 'honey'],
      } as const
      const link = `${presetToLink(defaultPreset())}&${seenToLink(seen)}`
      expect(presetFromLink(link).ok).toBe(true)
      expect(wantedOf(`#${link}`)).toEqual({
        ...(spot.place === 'watch' ? {} : { spot }),
        step: 4,
        time: 1.25,
        colourBy: 'mono',
        wavelength: 633,
        camera,
        without: ['evaporation', 'honey'],
      })
    }
  })
  it('leads on from older names and bare ones', () => {
    const named = (text: string) => wantedOf(text).spot ?? null
    expect(named('#recipe')).toEqual({ place: 'bench', part: 'recipe' })
    expect(named('#bench')).toEqual({ place: 'bench', part: '' })
    expect(named('#rimtide=1&drop.volume_uL=5&view.at=map')).toEqual({ place: 'bench', part: 'map' })
    expect(named('#pins')).toEqual({ place: 'data', part: 'measured' })
    expect(named('#rimtide=1')).toBe(null)
    expect(named('#nonsense')).toBe(null)
  })
  it('passes over what cannot be', () => {
    const link =
      '#rimtide=1&view.at=moon&view.step=0&view.t=-3&view.colour=loud&view.room=yes&view.t=1e99&view.look=1,2&view.without=%3Cb%3E&view.nm=10&view.dye=-1'
    expect(wantedOf(link)).toEqual({})
    expect(wantedOf('#rimtide=1&view.step=two&view.t=')).toEqual({})
    expect(spotOf('toString')).toBe(null)
  })
})
