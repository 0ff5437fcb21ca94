/** The meshes of the stage, made once for the largest case: film, cut face, bath and dish, streaks. Units: mm. */
import * as THREE from 'three'
import { mostNodes } from './profile.ts'

/** One strip from the axis to the edge; its instances are the columns around. */
export function filmGeometry(): THREE.InstancedBufferGeometry {
  const row = new Float32Array(2 * mostNodes)
  const side = new Float32Array(row.length)
  const index = new Uint32Array((mostNodes - 1) * 6)
  for (let i = 0; i < mostNodes; i++) {
    row[2 * i] = row[2 * i + 1] = i
    side[2 * i + 1] = 1
    const a = 2 * i
    if (i < mostNodes - 1) index.set([a, a + 2, a + 3, a, a + 3, a + 1], 6 * i)
  }
  const made = new THREE.InstancedBufferGeometry()
  made.setIndex(new THREE.BufferAttribute(index, 1))
  made.setAttribute('row', new THREE.BufferAttribute(row, 1))
  made.setAttribute('side', new THREE.BufferAttribute(side, 1))
  return made
}

export function cutGeometry(): THREE.BufferGeometry {
  const row = new Float32Array(4 * mostNodes)
  const side = new Float32Array(row.length)
  const up = new Float32Array(row.length)
  const index = new Uint32Array((mostNodes - 1) * 12)
  for (let i = 0; i < mostNodes; i++) {
    for (let k = 0; k < 4; k++) {
      row[4 * i + k] = i
      side[4 * i + k] = k < 2 ? 1 : -1
      up[4 * i + k] = k % 2
    }
  }
  let n = 0
  for (let i = 0; i < mostNodes - 1; i++) {
    for (const k of [0, 2]) {
      const a = 4 * i + k
      for (const corner of [a, a + 4, a + 5, a, a + 5, a + 1]) index[n++] = corner
    }
  }
  return geometry(index, { row: [row, 1], side: [side, 1], up: [up, 1] })
}

function geometry(
  index: Uint32Array,
  attributes: Record<string, [Float32Array, number]>,
): THREE.BufferGeometry {
  const made = new THREE.BufferGeometry()
  made.setIndex(new THREE.BufferAttribute(index, 1))
  for (const [name, [array, size]] of Object.entries(attributes)) {
    made.setAttribute(name, new THREE.BufferAttribute(array, size))
  }
  return made
}

/** Sides of half the dish's wall. */
const wallSides = 48
/** Surface, cut face, cut glass; wall above the oil, oil and floor behind the wall, all round. */
const bathQuads = 5 + 3 * 2 * wallSides

export function bathGeometry(): THREE.BufferGeometry {
  const index = new Uint32Array(6 * bathQuads)
  for (let q = 0; q < bathQuads; q++) {
    index.set(
      [0, 1, 2, 0, 2, 3].map((k) => 4 * q + k),
      6 * q,
    )
  }
  return geometry(index, {
    place: [new Float32Array(12 * bathQuads), 3],
    kind: [new Float32Array(4 * bathQuads), 1],
  })
}

type Corner = [number, number, number]

/**
 * Quads of bath and dish (mm): surface, cut face, cut glass floor and walls, and what is behind: the wall, and the oil and
 * the floor within it, which are seen where the cut is turned away. The whole dish is not cut.
 */
export function fillBath(made: THREE.BufferGeometry, dish: number, depth: number, whole: boolean): void {
  const place = made.getAttribute('place') as THREE.BufferAttribute
  const kinds = made.getAttribute('kind') as THREE.BufferAttribute
  const thick = Math.max(1, 0.02 * dish)
  const rim = Math.min(6, 0.35 * depth + 2)
  let q = 0
  const put = (kind: number, ...corners: [Corner, Corner, Corner, Corner]) => {
    corners.forEach((corner, k) => {
      place.setXYZ(4 * q + k, ...corner)
      kinds.setX(4 * q + k, kind)
    })
    q++
  }
  const upright = (kind: number, x0: number, x1: number, y0: number, y1: number, z: number) =>
    put(kind, [x0, y0, z], [x1, y0, z], [x1, y1, z], [x0, y1, z])
  const near = whole ? dish : 0
  put(0, [-dish, 0, near], [dish, 0, near], [dish, 0, -dish], [-dish, 0, -dish])
  if (!whole) {
    upright(1, -dish, dish, -depth, 0, 0)
    upright(2, -dish - thick, dish + thick, -depth - thick, -depth, 0)
    upright(2, -dish - thick, -dish, -depth, rim, 0.01)
    upright(2, dish, dish + thick, -depth, rim, 0.01)
  }
  for (let k = 0; k < (whole ? 2 : 1) * wallSides; k++) {
    const [a, b] = [(Math.PI * k) / wallSides, (Math.PI * (k + 1)) / wallSides]
    const side = (kind: number, r: number, y0: number, y1: number) => {
      const at = (angle: number, y: number): Corner => [r * Math.cos(angle), y, -r * Math.sin(angle)]
      put(kind, at(a, y0), at(b, y0), at(b, y1), at(a, y1))
    }
    side(3, dish, 0, rim)
    side(1, dish, -depth, 0)
    side(2, dish + thick, -depth - thick, -depth)
  }
  made.setDrawRange(0, 6 * q)
  place.needsUpdate = true
  kinds.needsUpdate = true
}

/** @param most largest number of streaks */
export function streakGeometry(most: number): THREE.InstancedBufferGeometry {
  const made = new THREE.InstancedBufferGeometry()
  made.setIndex([0, 1, 2, 0, 2, 3])
  made.setAttribute('corner', new THREE.BufferAttribute(new Float32Array([-1, -1, 1, -1, 1, 1, -1, 1]), 2))
  for (const name of ['from', 'to', 'look']) {
    const attribute = new THREE.InstancedBufferAttribute(new Float32Array(3 * most), 3)
    attribute.setUsage(THREE.DynamicDrawUsage)
    made.setAttribute(name, attribute)
  }
  made.instanceCount = 0
  return made
}
