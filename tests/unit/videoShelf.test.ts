/** Several recordings: which files belong together, how each stands, when the drop touched down. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeEach, describe, expect, it } from 'vitest'
import { createStore } from 'zustand/vanilla'
import { PROGRAM_VERSION } from '../../src/measured/programVersion.ts'
import { cameraSettingsOf, rememberCamera, rememberedCamera } from '../../src/page/video/camera.ts'
import { sha256 } from '../../src/page/video/hashing.ts'
import { findContact, makeCurve } from '../../src/page/video/making.ts'
import { remaining } from '../../src/page/video/queue.ts'
import { assess, isOf, joinItems, keepItems, keptItems, newItem } from '../../src/page/video/queueItems.ts'
import { type Kind, recordingsOf, seriesName } from '../../src/page/video/recordings.ts'
import { fresh, isTimed, type Session } from '../../src/page/video/session.ts'
import { listSource } from '../../src/page/video/source.ts'

const file = (name: string, folder = '', size = 3): File => {
  const made = new File([new Uint8Array(size)], name)
  Object.defineProperty(made, 'webkitRelativePath', { value: folder ? `${folder}/${name}` : '' })
  return made
}
const pictures = (...files: File[]) => files.map((one) => ({ file: one, kind: 'picture' as Kind }))
const told = (files: { file: File; kind: Kind }[]) =>
  recordingsOf(files).recordings.map(({ name, files: own }) => [name, own.map((one) => one.name)])

/** A store as a browser's localStorage. */
beforeEach(() => {
  const kept = new Map<string, string>()
  Object.assign(globalThis, {
    localStorage: {
      getItem: (key: string) => kept.get(key) ?? null,
      setItem: (key: string, value: string) => void kept.set(key, value),
      removeItem: (key: string) => void kept.delete(key),
    },
  })
})

describe('files', () => {
  it('are recordings by folder, in the order of their numbers', () => {
    const files = pictures(file('f10.png', 'shelf/b'), file('f9.png', 'shelf/b'), file('f1.png', 'shelf/a'))
    expect(told(files)).toEqual([
      ['a', ['f1.png']],
      ['b', ['f9.png', 'f10.png']],
    ])
  })
  it('of one folder are one recording, unless their names are series', () => {
    expect(told(pictures(file('a.png'), file('b2.png'), file('b1.png')))).toEqual([
      ['a.png and 2 more', ['a.png', 'b1.png', 'b2.png']],
    ])
    expect(
      told(
        pictures(
          file('40pct_1_01.png'),
          file('40pct_1_02.png'),
          file('40pct_2_01.png'),
          file('40pct_2_02.png'),
        ),
      ),
    ).toEqual([
      ['40pct_1', ['40pct_1_01.png', '40pct_1_02.png']],
      ['40pct_2', ['40pct_2_01.png', '40pct_2_02.png']],
    ])
  })
  it('that are videos are one recording each; others are left', () => {
    const found = recordingsOf([
      { file: file('b.webm'), kind: 'video' },
      { file: file('a.webm'), kind: 'video' },
      { file: file('notes.txt'), kind: 'other' },
    ])
    expect(found.recordings.map(({ name }) => name)).toEqual(['a.webm', 'b.webm'])
    expect(found.left).toEqual(['notes.txt'])
  })
  it('have a name without their number', () => {
    expect(['run 3_0012.png', 'DSC00012.JPG', '0001.png', 'drop-07 (2).png'].map(seriesName)).toEqual([
      'run 3',
      'DSC',
      '',
      'drop-07 (2)',
    ])
  })
})

/** A session with a drop of the given radii, px; 0 = none. */
function measured(radii: number[], kind: 'stills' | 'video', change: Partial<Session> = {}): Session {
  const source = listSource(
    { name: 'run', kind, width: 100, height: 100, close() {} },
    radii.map((_, i) => i),
    async (i) => ({ time: i, frame: null }),
  )
  const readings = radii.map((r, i) => {
    const drop = {
      area: Math.PI * r * r,
      equivalentRadius: r,
      edgeRadius: r,
      x: 50,
      y: 50,
      roundness: 1,
      blur: 1,
      uncertainty: 0.1,
      level: 0.2,
      contrast: 0.5,
      noise: 0.01,
      calmNoise: 0.005,
      ragged: 0.01,
      loose: 0,
      bridged: 0,
      clipped: 0,
      gain: -0.2,
      own: 0.1,
      threshold: 0,
      children: 0,
      outline: new Float32Array(),
    }
    return [
      i * 1e6,
      { time: i, result: r > 0 ? { flags: [], drop } : { flags: ['no-drop' as const], drop: null } },
    ] as const
  })
  return {
    ...fresh(),
    source,
    readings: new Map(readings),
    scalePoints: {
      of: 'line',
      points: [
        { x: 0, y: 0 },
        { x: 100, y: 0 },
      ],
    },
    knownLength: '50',
    run: { state: 'done', at: radii.length - 1, from: 0 },
    ...change,
  }
}

describe('a measured recording', () => {
  const radii = [0, 0, 10, 14, 20, 22]
  const settled = (state: Session) => {
    const session = createStore<Session>(() => state)
    findContact(session)
    return session.getState()
  }
  it('is ready when scale, rate and touch-down are known', () => {
    const state = settled(measured(radii, 'stills', { recorded: '4' }))
    expect(assess(state)).toMatchObject({ state: 'done', points: 4 })
    const made = makeCurve(state, { name: 'run', meta: {}, sha256: 'ab'.repeat(32) })
    if (!made.ok) throw new Error(made.message)
    // 4 pictures per second: the first with the drop comes half an interval after the touch-down.
    expect(Array.from(made.curve.time)).toEqual([0.125, 0.375, 0.625, 0.875])
    expect(made.curve.meta.sigma?.startTime_s).toBeCloseTo(0.25 / Math.sqrt(12), 12)
    expect(made.curve.radius[0]).toBeCloseTo(10 * 0.5e-3, 12)
    expect(made.curve.provenance).toMatchObject({
      framesPerSecond: 4,
      metresPerPixel: 0.5e-3,
      level: 'found',
      sha256: 'ab'.repeat(32),
    })
  })
  it('of stills is no curve in seconds before their rate is known', () => {
    const state = settled(measured(radii, 'stills'))
    expect(isTimed(state)).toBe(false)
    expect(assess(state)).toMatchObject({ state: 'needs' })
    expect(makeCurve(state, { name: 'run', meta: {}, sha256: undefined })).toMatchObject({ ok: false })
    expect(isTimed(measured(radii, 'video'))).toBe(true)
  })
  it('needs somebody where the scale is missing, the drop is there from the first frame, or nothing is seen', () => {
    const said = (state: Session) => assess(settled(state)).said
    expect(said(measured(radii, 'video', { scalePoints: null }))).toBe('no scale is set')
    expect(said(measured([10, 12, 14], 'video'))).toMatch(/in its first frame already/)
    expect(said(measured([10, 12, 14], 'video', { contactFirst: true }))).toBe('')
    expect(said(measured([0, 0, 0], 'video'))).toMatch(/No drop was found/)
  })
})

describe('the queue', () => {
  const recording = (name: string, size = 3) => ({
    name,
    kind: 'video' as const,
    files: [file(name, '', size)],
  })
  it('knows recordings again after a visit, by name and length', () => {
    const items = joinItems([], [recording('a.webm'), recording('b.webm', 5)]).items
    keepItems([{ ...items[0]!, state: 'measuring', share: 0.4, work: 'w1' }, items[1]!])
    const again = keptItems()
    expect(again.map(({ name, state, files }) => [name, state, files])).toEqual([
      ['a.webm', 'stopped', null],
      ['b.webm', 'waiting', null],
    ])
    const joined = joinItems(again, [recording('b.webm', 5), recording('a.webm', 4), recording('a.webm')])
    expect(joined.known).toBe(2)
    expect(joined.items.map(({ name, bytes, work }) => [name, bytes, work])).toEqual([
      ['a.webm', 3, 'w1'],
      ['b.webm', 5, ''],
      ['a.webm', 4, ''],
    ])
    expect(isOf(joined.items[0]!, recording('a.webm', 4))).toBe(false)
  })
  it('passes over records that make no sense', () => {
    localStorage.setItem('rimtide.queue', '[{"id": 3}, null, 7]')
    expect(keptItems()).toEqual([])
    localStorage.setItem('rimtide.queue', '{')
    expect(keptItems()).toEqual([])
  })
  it('tells how long it takes: the present one at its pace, the others by their length', () => {
    const items = [recording('a', 100), recording('b', 200), recording('c', 50)].map(newItem)
    // A quarter in 5 s: 15 s more, then 300 and 50 bytes of 20 s per 100.
    expect(remaining(items, items[0]!.id, 0.25, 5, 0.25)).toBeCloseTo(15 + 40 + 10, 9)
    expect(remaining(items, items[0]!.id, 0.01, 0.1, 0.01)).toBeNaN()
  })
})

describe('settings of a camera', () => {
  const camera = { kind: 'video' as const, width: 640, height: 480 }
  it('come back for the same kind and picture size, and for no other', () => {
    const state = measured([0, 1], 'video', { stride: 3, recorded: '120' })
    rememberCamera(camera, cameraSettingsOf(state))
    expect(rememberedCamera(camera)).toEqual(cameraSettingsOf(state))
    expect(rememberedCamera({ ...camera, width: 320 })).toBe(null)
    expect(rememberedCamera({ ...camera, kind: 'stills' })).toBe(null)
    expect(rememberedCamera({ ...camera, kind: 'demo' })).toBe(null)
  })
  it('that make no sense are passed over', () => {
    localStorage.setItem(
      'rimtide.cameras',
      JSON.stringify([['video 640x480', { settings: { difference: 'smell' }, stride: -1 }]]),
    )
    expect(rememberedCamera(camera)).toBe(null)
  })
})

describe('the version kept with curves', () => {
  it('is that of the package', () => {
    const { version } = JSON.parse(readFileSync(join(import.meta.dirname, '../../package.json'), 'utf8'))
    expect(PROGRAM_VERSION).toBe(version)
  })
})

describe('the sum of a file', () => {
  // FIPS 180-4, example of one block ("abc"), as published with the standard.
  it('is SHA-256', async () => {
    expect(await sha256(new TextEncoder().encode('abc'))).toBe(
      'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
    )
  })
})
