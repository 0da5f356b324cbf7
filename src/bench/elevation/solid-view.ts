// The figure as a lit solid, seen level and without perspective, so that heights on the sheet stay true. Loaded when first needed.

import {
  BackSide,
  BufferAttribute,
  BufferGeometry,
  Color,
  DataTexture,
  Mesh,
  OrthographicCamera,
  RGBAFormat,
  Scene,
  ShaderMaterial,
  Vector2,
  WebGLRenderer,
} from 'three'
import { cividisBytes } from '../../picture/index.ts'
import type { DisplaySurface, SurfaceQuantity } from '../messages.ts'
import { OUTLINE_FRAGMENT, OUTLINE_VERTEX, SOLID_FRAGMENT, SOLID_VERTEX } from './solid-shader.ts'

/** A quantity with one value for every layer, to be laid over the figure by height. */
export interface HeightQuantity {
  readonly faceZ: ArrayLike<number>
  readonly values: ArrayLike<number>
  readonly from: number
  readonly to: number
}

/** Rows of the texture that carries a quantity by height. */
const HEIGHT_ROWS = 2048

/** Shares of the range by height; alpha says where a value is known. */
const heightBytes = ({ faceZ, values, from, to }: HeightQuantity): Uint8Array<ArrayBuffer> => {
  const bytes = new Uint8Array(4 * HEIGHT_ROWS)
  const top = faceZ[faceZ.length - 1]
  let layer = 0
  for (let k = 0; k < HEIGHT_ROWS; k++) {
    const mm = ((k + 0.5) / HEIGHT_ROWS) * top
    while (layer + 1 < values.length && faceZ[layer + 1] <= mm) layer++
    const share = (values[layer] - from) / (to - from)
    if (!Number.isFinite(share)) continue
    bytes[4 * k] = Math.round(255 * Math.min(1, Math.max(0, share)))
    bytes[4 * k + 3] = 255
  }
  return bytes
}

/** All that decides what the picture shows, beside the surface. */
export interface SolidLook {
  readonly widthPx: number
  readonly plotPx: number
  readonly fromMm: number
  readonly toMm: number
  readonly turn: number
  readonly scrubMm: number
  readonly band: readonly [number, number] | null
  readonly paint: SurfaceQuantity | HeightQuantity | null
  /** Colours as "#rrggbb" or rgb(). */
  readonly inks: { readonly lit: string; readonly shade: string; readonly ink: string; readonly accent: string }
  /** Dots of the picture per px. */
  readonly dotsPerPx: number
}

/** Owns the renderer and its memory; give it a canvas, then surfaces and looks, and dispose of it at the end. */
export class SolidView {
  readonly #renderer: WebGLRenderer
  readonly #scene = new Scene()
  readonly #camera = new OrthographicCamera()
  readonly #solid: ShaderMaterial
  readonly #outline: ShaderMaterial
  readonly #scale = new DataTexture(cividisBytes(), 256, 1, RGBAFormat)
  readonly #heights = new DataTexture(new Uint8Array(4 * HEIGHT_ROWS), HEIGHT_ROWS, 1, RGBAFormat)
  #meshes: Mesh[] = []
  #painted: SurfaceQuantity | HeightQuantity | null = null
  #surface: DisplaySurface | null = null

  /** @throws when the browser has no WebGL */
  constructor(canvas: HTMLCanvasElement | OffscreenCanvas) {
    this.#renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true, preserveDrawingBuffer: true })
    this.#renderer.setClearColor(0, 0)
    // Asking for a shader's faults waits for the graphics card, and sorting two meshes measures all their vertices.
    this.#renderer.debug.checkShaderErrors = false
    this.#renderer.sortObjects = false
    this.#scale.needsUpdate = true
    const colour = () => ({ value: new Color() })
    this.#solid = new ShaderMaterial({
      vertexShader: SOLID_VERTEX,
      fragmentShader: SOLID_FRAGMENT,
      uniforms: {
        lit: colour(),
        shade: colour(),
        ink: colour(),
        accent: colour(),
        scale: { value: this.#scale },
        paint: { value: 0 },
        heights: { value: this.#heights },
        topMm: { value: 1 },
        pxPerMm: { value: 1 },
        hatchMm: { value: 0.5 },
        scrubMm: { value: 0 },
        band: { value: new Vector2(0, 0) },
      },
      side: 2,
    })
    this.#outline = new ShaderMaterial({
      vertexShader: OUTLINE_VERTEX,
      fragmentShader: OUTLINE_FRAGMENT,
      uniforms: { ink: colour(), growMm: { value: 0.1 } },
      side: BackSide,
    })
  }

  /** Takes a surface; the one before is freed. */
  show(surface: DisplaySurface): void {
    if (surface === this.#surface) return
    this.#clear()
    this.#surface = surface
    this.#painted = null
    const geometry = new BufferGeometry()
    geometry.setAttribute('position', new BufferAttribute(surface.positions, 3))
    geometry.setAttribute('normal', new BufferAttribute(surface.normals, 3))
    geometry.setAttribute('quantity', new BufferAttribute(new Float32Array(surface.positions.length / 3), 1))
    geometry.setIndex(new BufferAttribute(surface.triangles, 1))
    this.#meshes = [new Mesh(geometry, this.#solid), new Mesh(geometry, this.#outline)]
    for (const mesh of this.#meshes) {
      mesh.frustumCulled = false
      this.#scene.add(mesh)
    }
  }

  /** Has the shaders made and linked before there is a figure, which takes longer than drawing one. */
  warmUp(): void {
    const positions = new Float32Array(9)
    this.show({ positions, normals: positions, triangles: Uint32Array.of(0, 1, 2), quantities: [], reachMm: 1 })
    this.#renderer.compile(this.#scene, this.#camera)
    this.#renderer.render(this.#scene, this.#camera)
  }

  /** Draws once. */
  draw(look: SolidLook): void {
    const { widthPx, plotPx, fromMm, toMm } = look
    const pxPerMm = plotPx / (toMm - fromMm)
    this.#renderer.setPixelRatio(look.dotsPerPx)
    this.#renderer.setSize(widthPx, plotPx, false)
    const half = widthPx / 2 / pxPerMm
    const far = 4 * ((this.#surface?.reachMm ?? 20) + 10)
    // Looking along +y with z up: the camera stands at -y.
    Object.assign(this.#camera, { left: -half, right: half, top: toMm, bottom: fromMm, near: 0, far })
    this.#camera.up.set(0, 0, 1)
    this.#camera.position.set(0, -far / 2, 0)
    this.#camera.lookAt(0, 0, 0)
    this.#camera.updateProjectionMatrix()
    for (const mesh of this.#meshes) mesh.rotation.z = look.turn
    const { uniforms } = this.#solid
    // Colours go to the screen as they are written in the style sheet.
    for (const name of ['lit', 'shade', 'ink', 'accent'] as const)
      uniforms[name].value.setStyle(look.inks[name], 'srgb-linear')
    this.#outline.uniforms.ink.value.setStyle(look.inks.ink, 'srgb-linear')
    this.#outline.uniforms.growMm.value = 1.1 / pxPerMm
    uniforms.pxPerMm.value = pxPerMm
    // Hatching stands some 4 px apart, more on a large sheet, in whole tenths of a millimetre.
    uniforms.hatchMm.value = Math.max(1, Math.ceil((10 * Math.min(9, Math.max(3.6, plotPx / 150))) / pxPerMm)) / 10
    uniforms.scrubMm.value = look.scrubMm
    uniforms.paint.value = look.paint ? ('faceZ' in look.paint ? 2 : 1) : 0
    if (look.paint && look.paint !== this.#painted) this.#layPaint(look.paint)
    if (look.band) uniforms.band.value.set(look.band[0], look.band[1])
    else uniforms.band.value.set(0, 0)
    this.#renderer.render(this.#scene, this.#camera)
  }

  dispose(): void {
    this.#clear()
    this.#solid.dispose()
    this.#outline.dispose()
    this.#heights.dispose()
    this.#scale.dispose()
    this.#renderer.dispose()
    // The browser holds only so many drawing contexts; this one is not waited for.
    this.#renderer.forceContextLoss()
  }

  #layPaint(paint: SurfaceQuantity | HeightQuantity): void {
    this.#painted = paint
    if ('faceZ' in paint) {
      this.#heights.image.data?.set(heightBytes(paint))
      this.#heights.needsUpdate = true
      this.#solid.uniforms.topMm.value = paint.faceZ[paint.faceZ.length - 1]
      return
    }
    const attribute = this.#meshes[0]?.geometry.getAttribute('quantity') as BufferAttribute | undefined
    if (!attribute) return
    const { values, from, to } = paint
    // Below zero stands for "not known": the graphics card may not keep NaN.
    for (let i = 0; i < attribute.count; i++) {
      const share = (values[i] - from) / (to - from)
      attribute.array[i] = share >= 0 ? share : Number.isFinite(share) ? 0 : -1
    }
    attribute.needsUpdate = true
  }

  #clear(): void {
    for (const mesh of this.#meshes) {
      this.#scene.remove(mesh)
      mesh.geometry.dispose()
    }
    this.#meshes = []
  }
}
