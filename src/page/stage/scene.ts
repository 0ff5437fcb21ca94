/**
 * What three.js draws: film surface, its cut face, bath and dish, streaks and dots. All buffers are made once
 * for the largest case; a redraw only fills a texture of one row and some instances. Units: mm.
 */
import * as THREE from 'three'
import { COLUMNS, type FilmTable, mapping } from '../../optics/filmTable.ts'
import type { Beads } from '../beads.ts'
import { tableSize } from '../colour.ts'
import { columnsFor, fewestColumns, fillWave, mostColumns, shownAt, shownBy } from './beadWave.ts'
import { directions, type Framing, frustum } from './framing.ts'
import { bathGeometry, cutGeometry, fillBath, filmGeometry } from './geometries.ts'
import { bendThickness, type HeightMap } from './heightMap.ts'
import { material, number, vec } from './materials.ts'
import { mostNodes, type Profile } from './profile.ts'
import type { SceneColours } from './sceneColours.ts'
import * as glsl from './shaders.ts'
import { Streaks } from './streaks.ts'

/** Where the light comes from, for an eye that is turned by nothing; it goes round with the eye. */
const light = new THREE.Vector3(-0.62, 0.66, 0.42).normalize()
const upright = new THREE.Vector3(0, 1, 0)

/** Pixels per CSS pixel under which a picture counts as coarse. */
const coarseBelow = 0.6

/** Rows of sRGB colours, averaged as light from level to level. */
function filmTexture(bytes: Uint8Array, columns: number, rows: number): THREE.DataArrayTexture {
  const texture = new THREE.DataArrayTexture(bytes, columns, 1, rows)
  texture.colorSpace = THREE.SRGBColorSpace
  texture.magFilter = THREE.LinearFilter
  texture.minFilter = THREE.LinearMipmapLinearFilter
  texture.generateMipmaps = true
  texture.needsUpdate = true
  return texture
}

/** The picture. Not redrawn until `render` is called. */
export class StageScene {
  readonly renderer: THREE.WebGLRenderer
  private readonly scene = new THREE.Scene()
  private readonly camera = new THREE.OrthographicCamera(-1, 1, 1, -1, 1, 2000)
  private readonly profileData = new Float32Array(8 * mostNodes)
  private readonly profileTexture = new THREE.DataTexture(
    this.profileData,
    mostNodes,
    2,
    THREE.RGBAFormat,
    THREE.FloatType,
  )
  private readonly tableData = new Uint8Array(4 * tableSize)
  private readonly tableTexture = new THREE.DataTexture(this.tableData, tableSize, 1)
  private readonly shared = {
    profile: { value: this.profileTexture },
    colours: { value: this.tableTexture },
    last: number(),
    light: { value: light.clone() },
    eye: vec(),
    gloss: number(0.2),
    film: { value: filmTexture(new Uint8Array(4), 1, 1) },
    optics: vec(),
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
    eye: this.shared.eye,
    ringStep: number(10),
    shading: number(1),
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
  private readonly filmColumns = number(fewestColumns)
  private readonly film = new THREE.Mesh(
    filmGeometry(),
    material(glsl.filmVertex, glsl.filmFragment, {
      ...this.shared,
      ...this.ringUniforms,
      columns: this.filmColumns,
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
  /** What rides on the flow, and the lines on the drop. */
  readonly streaks = new Streaks()
  private filmShown: FilmTable | null = null
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
    for (const mesh of this.meshes()) {
      mesh.frustumCulled = false
      this.scene.add(mesh)
    }
  }

  private meshes(): THREE.Mesh[] {
    return [this.bath, this.film, this.ring, this.cut, this.streaks.mesh]
  }

  setFrame(frame: Framing, pixelRatio: number): void {
    const { camera, renderer, shared } = this
    this.frame = frame
    // A new size makes the drawing buffer anew and waits for the last picture: only where it is one.
    if (frame.width !== this.width || frame.height !== this.height || pixelRatio !== this.pixelRatio) {
      this.width = frame.width
      this.height = frame.height
      this.pixelRatio = pixelRatio
      renderer.setPixelRatio(pixelRatio)
      renderer.setSize(frame.width, frame.height, false)
    }
    const edges = frustum(frame)
    camera.left = 1e3 * edges.left
    camera.right = 1e3 * edges.right
    camera.top = 1e3 * edges.top
    camera.bottom = 1e3 * edges.bottom
    const { eye, up } = directions(frame)
    camera.up.fromArray(up)
    camera.position.fromArray(eye).multiplyScalar(1000)
    camera.lookAt(0, 0, 0)
    camera.updateProjectionMatrix()
    shared.eye.value.fromArray(eye)
    shared.light.value.copy(light).applyAxisAngle(upright, frame.turn)
    this.cut.visible = !frame.whole
    // A coarse picture needs half the columns: at its size nobody sees the corners.
    this.filmColumns.value = this.thinned(fewestColumns)
    ;(this.film.geometry as THREE.InstancedBufferGeometry).instanceCount =
      this.filmColumns.value * this.halves()
    this.streaks.setFrame(frame, pixelRatio)
  }

  /** Columns of a mesh, half as many in a picture with few pixels. */
  private thinned(columns: number): number {
    return this.pixelRatio < coarseBelow ? columns / 2 : columns
  }

  /** Half discs that are shown. */
  private halves(): number {
    return this.frame?.whole ? 2 : 1
  }

  setColours(colours: SceneColours): void {
    this.bathUniforms.oil.value.fromArray(colours.oil)
    this.bathUniforms.deep.value.fromArray(colours.deep)
    this.bathUniforms.glass.value.fromArray(colours.glass)
    this.bathUniforms.lineColour.value.fromArray(colours.ink)
    this.streaks.setColours(colours)
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

  /** Colours of a film, laid on flat, or null for those of the table. */
  setFilm(film: FilmTable | null): void {
    if (film === this.filmShown) return
    this.filmShown = film
    const { film: held, optics } = this.shared
    this.bathUniforms.shading.value = film ? 0 : 1
    if (!film) {
      optics.value.set(0, 0, 0)
      return
    }
    const texels = film.bytes.length / 3
    const data = new Uint8Array(4 * texels).fill(255)
    for (let k = 0; k < texels; k++) for (let c = 0; c < 3; c++) data[4 * k + c] = film.bytes[3 * k + c]!
    held.value.dispose()
    held.value = filmTexture(data, COLUMNS, film.rows.length)
    optics.value.set(1e3 * mapping.bend, mapping.scale, COLUMNS)
  }

  /** Dish radius and oil depth, m; after `setFrame`. */
  setDish(dishRadius: number, depth: number, ringStep: number): void {
    this.bathUniforms.dish.value = 1e3 * dishRadius
    this.bathUniforms.depth.value = 1e3 * depth
    this.bathUniforms.ringStep.value = 1e3 * ringStep
    fillBath(this.bath.geometry, 1e3 * dishRadius, 1e3 * depth, this.frame?.whole ?? false)
  }

  setDrop(profile: Profile): void {
    const data = this.profileData
    for (let i = 0; i < profile.count; i++) {
      data[4 * i] = 1e3 * profile.r[i]!
      data[4 * i + 1] = 1e3 * profile.y[i]!
      data[4 * i + 2] = profile.slope[i]!
      data[4 * i + 3] = profile.place[i]!
      data[4 * (mostNodes + i)] = profile.ratio[i]!
      data[4 * (mostNodes + i) + 1] = profile.row[i]!
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
    // While it moves with fewer pixels the same beads are shown as at rest.
    const px = frame.scale * Math.max(1, pixelRatio)
    const by = shownBy(px * beads.amplitude, beads.amplitude / (2 * beads.halfBase))
    const best = by * shownAt(px * beads.spacing)
    if (!(best > 0)) return 0
    const columns = this.thinned(columnsFor(beads.count))
    const flat = Math.sin(frame.tilt)
    fillWave(this.waveData, columns, beads.count, (angle) => {
      const seen = angle - frame.turn
      return by * shownAt(px * beads.spacing * Math.hypot(Math.sin(seen), flat * Math.cos(seen)))
    })
    this.waveTexture.needsUpdate = true
    const { bead, heights, thin: least } = this.ringUniforms
    this.ringUniforms.columns.value = columns
    bead.value.set(1e3 * beads.amplitude, 1e3 * beads.halfBase, 1e3 * R, 1e3 * thin.thinRadius)
    if (map.kind === 'logarithmic') heights.value.set(1e3 * map.decade, 1e3 * bendThickness)
    else heights.value.set(map.factor, 0)
    least.value = 1e3 * thin.thin
    ;(this.ring.geometry as THREE.InstancedBufferGeometry).instanceCount = columns * this.halves()
    this.splitAt(this.rowWithin(Math.max(thin.thinRadius, R - 2.5 * beads.halfBase)))
    return best
  }

  /** Last row of the profile at or within the radius r, m. */
  private rowWithin(r: number): number {
    let k = this.profileCount - 2
    while (k > 0 && this.profileData[4 * k]! > 1e3 * r) k--
    return k
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
    this.shared.film.value.dispose()
    this.renderer.dispose()
  }
}
