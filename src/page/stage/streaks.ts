/** Tracers, child drops and the lines on the drop: short streaks and dots in one buffer, made for the most there can be. */
import * as THREE from 'three'
import { leastChild, mostChildren } from './childDrops.ts'
import type { Framing } from './framing.ts'
import { streakGeometry } from './geometries.ts'
import { material, vec } from './materials.ts'
import type { SceneColours } from './sceneColours.ts'
import { streakFragment, streakVertex } from './shaders.ts'
import { mostTracers } from './tracers.ts'

/** Pieces of the line around a half disc's edge and of the dashes along its thin spot. */
const arcPieces = 96
const mostStreaks = 2 * (mostTracers + mostChildren + 2 * arcPieces)
export const streakKind = { film: 0, bath: 1, child: 2, line: 3 } as const
/** Widths of film tracers, bath tracers, child drops (the least) and lines, px. */
const widths = [1.7, 1.5, leastChild, 1.2] as const

export class Streaks {
  private readonly uniforms = {
    viewport: { value: new THREE.Vector2(1, 1) },
    filmColour: vec(),
    bathColour: vec(),
    childColour: vec(),
    childRim: vec(),
  }
  readonly mesh = new THREE.Mesh(
    streakGeometry(mostStreaks),
    material(streakVertex, streakFragment, this.uniforms, { transparent: true, depthWrite: false }),
  )
  private count = 0
  private pixelRatio = 1
  /** Half discs that are shown: what is put on one is put on the other, too. */
  private halves = 1

  setFrame(frame: Framing, pixelRatio: number): void {
    this.pixelRatio = pixelRatio
    this.halves = frame.whole ? 2 : 1
    this.uniforms.viewport.value.set(0.5 * frame.width * pixelRatio, 0.5 * frame.height * pixelRatio)
  }

  setColours(colours: SceneColours): void {
    this.uniforms.filmColour.value.fromArray(colours.onFilm)
    this.uniforms.bathColour.value.fromArray(colours.ink)
    this.uniforms.childColour.value.fromArray(colours.child)
    this.uniforms.childRim.value.fromArray(colours.paper)
  }

  begin(): void {
    this.count = 0
  }

  /** A streak between two radii (m) in one direction on a half disc, with the heights (m) of its ends; width in px. */
  put(
    kind: number,
    angle: number,
    r0: number,
    y0: number,
    r1: number,
    y1: number,
    opacity: number,
    width: number = widths[kind]!,
  ): void {
    for (let half = 0; half < this.halves; half++) {
      const x = Math.cos(angle + half * Math.PI)
      const z = -Math.sin(angle + half * Math.PI)
      this.line(kind, opacity, width, [r0 * x, y0, r0 * z], [r1 * x, y1, r1 * z])
    }
  }

  /** From one place to another, m. */
  private line(
    kind: number,
    opacity: number,
    width: number,
    a: [number, number, number],
    b: [number, number, number],
  ): void {
    if (this.count >= mostStreaks || opacity < 0.02) return
    const n = this.count++
    const { from, to, look } = this.mesh.geometry.attributes as Record<string, THREE.BufferAttribute>
    from!.setXYZ(n, 1e3 * a[0], 1e3 * a[1], 1e3 * a[2])
    to!.setXYZ(n, 1e3 * b[0], 1e3 * b[1], 1e3 * b[2])
    look!.setXYZ(n, opacity, 0.5 * width * this.pixelRatio, kind)
  }

  /** Dashes along the circle of radius r at height y (m), hidden where the drop stands before it. */
  putDashes(r: number, y: number, opacity: number): void {
    this.putCircle(r, y, opacity, 0.4)
  }

  /** A line along the circle of radius R on the bath. */
  putEdge(R: number, opacity: number): void {
    this.putCircle(R, 0, opacity, 1)
  }

  /** A circle as far as it is shown, in pieces of which a part is drawn. */
  private putCircle(r: number, y: number, opacity: number, part: number): void {
    if (!(r > 0)) return
    const piece = Math.PI / arcPieces
    const at = (angle: number): [number, number, number] => [r * Math.cos(angle), y, -r * Math.sin(angle)]
    for (let k = 0; k < this.halves * arcPieces; k++) {
      this.line(streakKind.line, opacity, widths[streakKind.line], at(k * piece), at((k + part) * piece))
    }
  }

  end(): void {
    for (const name of ['from', 'to', 'look']) {
      const attribute = this.mesh.geometry.getAttribute(name) as THREE.BufferAttribute
      attribute.clearUpdateRanges()
      attribute.addUpdateRange(0, 3 * this.count)
      attribute.needsUpdate = true
    }
    ;(this.mesh.geometry as THREE.InstancedBufferGeometry).instanceCount = this.count
  }
}
