/**
 * What three.js draws: film surface, its cut face, bath and dish, streaks and dots. All buffers are made once
 * for the largest case; a redraw only fills a texture of one row and some instances. Units: mm.
 */
import * as THREE from 'three'
import type { Beads } from '../beads.ts'
import { tableSize } from '../colour.ts'
import { columnsFor, fewestColumns, fillWave, mostColumns, shownAt, shownBy } from './beadWave.ts'
import { leastChild, mostChildren } from './childDrops.ts'
import { type Framing, frustum } from './framing.ts'
import { bathGeometry, cutGeometry, fillBath, filmGeometry, streakGeometry } from './geometries.ts'
import { bendThickness, type HeightMap } from './heightMap.ts'
import { mostNodes, type Profile } from './profile.ts'
import * as glsl from './shaders.ts'
import { mostTracers } from './tracers.ts'

export type Rgb = [number, number, number]
export interface SceneColours {
  oil: Rgb
  deep: Rgb
  glass: Rgb
  ink: Rgb
  paper: Rgb
  onFilm: Rgb
  child: Rgb
  gloss: number
}

/** Pieces of the line around the edge and of the dashes along the thin spot. */
const arcPieces = 96
const mostStreaks = mostTracers + mostChildren + 2 * arcPieces
export const streakKind = { film: 0, bath: 1, child: 2, line: 3 } as const
/** Widths of film tracers, bath tracers, child drops (the least) and lines, px. */
const widths = [1.7, 1.5, leastChild, 1.2] as const

function material(
  vertexShader: string,
  fragmentShader: string,
  uniforms: Record<string, THREE.IUniform>,
  more: Partial<THREE.ShaderMaterialParameters> = {},
): THREE.RawShaderMaterial {
  return new THREE.RawShaderMaterial({
    glslVersion: THREE.GLSL3,
    vertexShader,
    fragmentShader,
    uniforms,
    side: THREE.DoubleSide,
    toneMapped: false,
    ...more,
  })
}

const vec = () => ({ value: new THREE.Vector3() })
const number = (value = 0) => ({ value })

/** The picture. Not redrawn until `render` is called. */
export class StageScene {
  readonly renderer: THREE.WebGLRenderer
  private readonly scene = new THREE.Scene()
  private readonly camera = new THREE.OrthographicCamera(-1, 1, 1, -1, 1, 2000)
  private readonly profileData = new Float32Array(4 * mostNodes)
  private readonly profileTexture = new THREE.DataTexture(
    this.profileData,
    mostNodes,
    1,
    THREE.RGBAFormat,
    THREE.FloatType,
  )
  private readonly tableData = new Uint8Array(4 * tableSize)
  private readonly tableTexture = new THREE.DataTexture(this.tableData, tableSize, 1)
  private readonly shared = {
    profile: { value: this.profileTexture },
    colours: { value: this.tableTexture },
    last: number(),
    light: { value: new THREE.Vector3(-0.62, 0.66, 0.42).normalize() },
    eye: vec(),
    gloss: number(0.2),
  }
  private readonly bathUniforms = {
    oil: vec(),
    deep: vec(),
    glass: vec(),
    lineColour: vec(),
    dish: number(70),
    depth: number(10),
    edge: number(),
    halo: number(1),
    ringStep: number(10),
  }
  private readonly streakUniforms = {
    viewport: { value: new THREE.Vector2(1, 1) },
    filmColour: vec(),
    bathColour: vec(),
    childColour: vec(),
    childRim: vec(),
  }
  private readonly waveData = new Float32Array(2 * (mostColumns + 1))
  private readonly waveTexture = new THREE.DataTexture(
    this.waveData,
    mostColumns + 1,
    1,
    THREE.RGFormat,
    THREE.FloatType,
  )
  private readonly ringUniforms = {
    wave: { value: this.waveTexture },
    columns: number(fewestColumns),
    bead: { value: new THREE.Vector4() },
    heights: { value: new THREE.Vector2(1, 0) },
    thin: number(),
  }
  private readonly film = new THREE.Mesh(
    filmGeometry(),
    material(glsl.filmVertex, glsl.filmFragment, {
      ...this.shared,
      ...this.ringUniforms,
      columns: number(fewestColumns),
      bead: { value: new THREE.Vector4() },
    }),
  )
  /** What of the film bulges, in as many columns as the beads need. */
  private readonly ring = new THREE.Mesh(
    filmGeometry(),
    material(glsl.filmVertex, glsl.filmFragment, { ...this.shared, ...this.ringUniforms }),
  )
  private readonly cut = new THREE.Mesh(
    cutGeometry(),
    material(glsl.cutVertex, glsl.cutFragment, this.shared),
  )
  private readonly bath = new THREE.Mesh(
    bathGeometry(),
    material(glsl.bathVertex, glsl.bathFragment, this.bathUniforms, {
      transparent: true,
      polygonOffset: true,
      polygonOffsetFactor: 1,
      polygonOffsetUnits: 2,
    }),
  )
  private readonly streaks = new THREE.Mesh(
    streakGeometry(mostStreaks),
    material(glsl.streakVertex, glsl.streakFragment, this.streakUniforms, {
      transparent: true,
      depthWrite: false,
    }),
  )
  private streakCount = 0
  private profileCount = 0
  private pixelRatio = 1
  private frame: Framing | null = null
  /** Size of the drawing buffer, CSS px. */
  private width = 0
  private height = 0

  /** Throws if the context is refused. */
  constructor(canvas: HTMLCanvasElement, context: WebGL2RenderingContext) {
    this.renderer = new THREE.WebGLRenderer({ canvas, context, antialias: true, alpha: true })
    this.renderer.outputColorSpace = THREE.LinearSRGBColorSpace
    this.renderer.sortObjects = false
    this.profileTexture.magFilter = THREE.NearestFilter
    this.tableTexture.magFilter = THREE.LinearFilter
    this.tableTexture.minFilter = THREE.LinearFilter
    ;(this.film.geometry as THREE.InstancedBufferGeometry).instanceCount = fewestColumns
    for (const mesh of this.meshes()) {
      mesh.frustumCulled = false
      this.scene.add(mesh)
    }
  }

  private meshes(): THREE.Mesh[] {
    return [this.bath, this.film, this.ring, this.cut, this.streaks]
  }

  setFrame(frame: Framing, span: number, pixelRatio: number): void {
    const { camera, renderer } = this
    this.frame = frame
    // A new size makes the drawing buffer anew and waits for the last picture: only where it is one.
    if (frame.width !== this.width || frame.height !== this.height || pixelRatio !== this.pixelRatio) {
      this.width = frame.width
      this.height = frame.height
      this.pixelRatio = pixelRatio
      renderer.setPixelRatio(pixelRatio)
      renderer.setSize(frame.width, frame.height, false)
    }
    const edges = frustum(frame, span)
    camera.left = 1e3 * edges.left
    camera.right = 1e3 * edges.right
    camera.top = 1e3 * edges.top
    camera.bottom = 1e3 * edges.bottom
    camera.position.set(0, 1000 * Math.sin(frame.tilt), 1000 * Math.cos(frame.tilt))
    camera.lookAt(0, 0, 0)
    camera.updateProjectionMatrix()
    this.shared.eye.value.copy(camera.position).normalize()
    this.streakUniforms.viewport.value.set(0.5 * frame.width * pixelRatio, 0.5 * frame.height * pixelRatio)
  }

  setColours(colours: SceneColours): void {
    this.bathUniforms.oil.value.fromArray(colours.oil)
    this.bathUniforms.deep.value.fromArray(colours.deep)
    this.bathUniforms.glass.value.fromArray(colours.glass)
    this.bathUniforms.lineColour.value.fromArray(colours.ink)
    this.streakUniforms.filmColour.value.fromArray(colours.onFilm)
    this.streakUniforms.bathColour.value.fromArray(colours.ink)
    this.streakUniforms.childColour.value.fromArray(colours.child)
    this.streakUniforms.childRim.value.fromArray(colours.paper)
    this.shared.gloss.value = colours.gloss
  }

  /** RGB bytes of the colour table. */
  setTable(table: Uint8Array): void {
    for (let k = 0; k < tableSize; k++) {
      for (let c = 0; c < 3; c++) this.tableData[4 * k + c] = table[3 * k + c]!
      this.tableData[4 * k + 3] = 255
    }
    this.tableTexture.needsUpdate = true
  }

  /** Dish radius and oil depth, m. */
  setDish(dishRadius: number, depth: number, ringStep: number): void {
    this.bathUniforms.dish.value = 1e3 * dishRadius
    this.bathUniforms.depth.value = 1e3 * depth
    this.bathUniforms.ringStep.value = 1e3 * ringStep
    fillBath(this.bath.geometry, 1e3 * dishRadius, 1e3 * depth)
  }

  setDrop(profile: Profile): void {
    const data = this.profileData
    for (let i = 0; i < profile.count; i++) {
      data[4 * i] = 1e3 * profile.r[i]!
      data[4 * i + 1] = 1e3 * profile.y[i]!
      data[4 * i + 2] = profile.slope[i]!
      data[4 * i + 3] = profile.place[i]!
    }
    this.profileTexture.needsUpdate = true
    const rows = Math.max(0, profile.count - 1)
    this.shared.last.value = rows
    this.profileCount = profile.count
    this.splitAt(rows)
    this.cut.geometry.setDrawRange(0, rows * 12)
    const R = rows > 0 ? 1e3 * profile.r[rows]! : 0
    this.bathUniforms.edge.value = rows > 0 ? R : -1e6
    this.bathUniforms.halo.value = Math.max(0.05, 0.035 * R)
  }

  /** The film within row k is drawn round, what lies outside it in the ring's columns. */
  private splitAt(k: number): void {
    const rows = Math.max(0, this.profileCount - 1)
    this.film.geometry.setDrawRange(0, 6 * k)
    this.ring.geometry.setDrawRange(6 * k, 6 * (rows - k))
    this.ring.visible = k < rows
  }

  /**
   * Bulges of the ring of the drop that was set last, whose edge is at R; none if `beads` is null.
   * @param thin thickness and place of the thin spot, m
   * @returns how far (0–1) they show, at best: 0 where nothing bulges
   */
  setBeads(
    beads: Beads | null,
    R: number,
    thin: { thin: number; thinRadius: number },
    map: HeightMap,
  ): number {
    this.ringUniforms.bead.value.x = 0
    const { frame, pixelRatio } = this
    if (!beads || !frame || this.profileCount < 2) return 0
    const px = frame.scale * pixelRatio
    const by = shownBy(px * beads.amplitude, beads.amplitude / (2 * beads.halfBase))
    const best = by * shownAt(px * beads.spacing)
    if (!(best > 0)) return 0
    const columns = columnsFor(beads.count)
    const flat = Math.sin(frame.tilt)
    fillWave(
      this.waveData,
      columns,
      beads.count,
      (angle) => by * shownAt(px * beads.spacing * Math.hypot(Math.sin(angle), flat * Math.cos(angle))),
    )
    this.waveTexture.needsUpdate = true
    const { bead, heights, thin: least } = this.ringUniforms
    this.ringUniforms.columns.value = columns
    bead.value.set(1e3 * beads.amplitude, 1e3 * beads.halfBase, 1e3 * R, 1e3 * thin.thinRadius)
    if (map.kind === 'logarithmic') heights.value.set(1e3 * map.decade, 1e3 * bendThickness)
    else heights.value.set(map.factor, 0)
    least.value = 1e3 * thin.thin
    ;(this.ring.geometry as THREE.InstancedBufferGeometry).instanceCount = columns
    this.splitAt(this.rowWithin(Math.max(thin.thinRadius, R - 2.5 * beads.halfBase)))
    return best
  }

  /** Last row of the profile at or within the radius r, m. */
  private rowWithin(r: number): number {
    let k = this.profileCount - 2
    while (k > 0 && this.profileData[4 * k]! > 1e3 * r) k--
    return k
  }

  beginStreaks(): void {
    this.streakCount = 0
  }

  /** A streak between two radii (m) in one direction, with the heights (m) of its ends; width in px. */
  putStreak(
    kind: number,
    angle: number,
    r0: number,
    y0: number,
    r1: number,
    y1: number,
    opacity: number,
    width: number = widths[kind]!,
  ): void {
    const n = this.streakCount
    if (n >= mostStreaks || opacity < 0.02) return
    const { from, to, look } = this.streaks.geometry.attributes as Record<string, THREE.BufferAttribute>
    const x = 1e3 * Math.cos(angle)
    const z = -1e3 * Math.sin(angle)
    from!.setXYZ(n, r0 * x, 1e3 * y0, r0 * z)
    to!.setXYZ(n, r1 * x, 1e3 * y1, r1 * z)
    look!.setXYZ(n, opacity, 0.5 * width * this.pixelRatio, kind)
    this.streakCount = n + 1
  }

  /** Dashes along the half circle of radius r at height y (m), hidden where the drop stands before it. */
  putDashes(r: number, y: number, opacity: number): void {
    const piece = Math.PI / arcPieces
    for (let k = 0; r > 0 && k < arcPieces; k++) this.putPiece(k * piece, (k + 0.4) * piece, r, y, opacity)
  }

  /** A line along the half circle of radius R on the bath. */
  putEdge(R: number, opacity: number): void {
    const piece = Math.PI / arcPieces
    for (let k = 0; R > 0 && k < arcPieces; k++) this.putPiece(k * piece, (k + 1) * piece, R, 0, opacity)
  }

  /** A piece of a circle between two directions, rad. */
  private putPiece(a: number, b: number, r: number, y: number, opacity: number): void {
    if (this.streakCount >= mostStreaks || opacity < 0.02) return
    const n = this.streakCount++
    const { from, to, look } = this.streaks.geometry.attributes as Record<string, THREE.BufferAttribute>
    from!.setXYZ(n, 1e3 * r * Math.cos(a), 1e3 * y, -1e3 * r * Math.sin(a))
    to!.setXYZ(n, 1e3 * r * Math.cos(b), 1e3 * y, -1e3 * r * Math.sin(b))
    look!.setXYZ(n, opacity, 0.5 * widths[streakKind.line] * this.pixelRatio, streakKind.line)
  }

  endStreaks(): void {
    for (const name of ['from', 'to', 'look']) {
      const attribute = this.streaks.geometry.getAttribute(name) as THREE.BufferAttribute
      attribute.clearUpdateRanges()
      attribute.addUpdateRange(0, 3 * this.streakCount)
      attribute.needsUpdate = true
    }
    ;(this.streaks.geometry as THREE.InstancedBufferGeometry).instanceCount = this.streakCount
  }

  render(): void {
    this.renderer.render(this.scene, this.camera)
  }

  dispose(): void {
    for (const mesh of this.meshes()) {
      mesh.geometry.dispose()
      ;(mesh.material as THREE.Material).dispose()
    }
    this.profileTexture.dispose()
    this.waveTexture.dispose()
    this.tableTexture.dispose()
    this.renderer.dispose()
  }
}
