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
import type { DisplaySurface } from '../messages.ts'
import { OUTLINE_FRAGMENT, OUTLINE_VERTEX, SOLID_FRAGMENT, SOLID_VERTEX } from './solid-shader.ts'

/** All that decides what the picture shows, beside the surface. */
export interface SolidLook {
  readonly widthPx: number
  readonly plotPx: number
  readonly fromMm: number
  readonly toMm: number
  readonly turn: number
  readonly scrubMm: number
  readonly band: readonly [number, number] | null
  readonly paint: { readonly from: number; readonly to: number } | null
  /** Colours as "#rrggbb" or rgb(). */
  readonly inks: { readonly lit: string; readonly shade: string; readonly ink: string; readonly accent: string }
  /** Dots of the picture per px; as the screen has them when left out. */
  readonly dotsPerPx?: number
}

/** Owns the renderer and its memory; give it a canvas, then surfaces and looks, and dispose of it at the end. */
export class SolidView {
  readonly #renderer: WebGLRenderer
  readonly #scene = new Scene()
  readonly #camera = new OrthographicCamera()
  readonly #solid: ShaderMaterial
  readonly #outline: ShaderMaterial
  #meshes: Mesh[] = []
  #surface: DisplaySurface | null = null

  /** @throws when the browser has no WebGL */
  constructor(canvas: HTMLCanvasElement) {
    this.#renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true, preserveDrawingBuffer: true })
    this.#renderer.setClearColor(0, 0)
    const scale = new DataTexture(cividisBytes(), 256, 1, RGBAFormat)
    scale.needsUpdate = true
    const colour = () => ({ value: new Color() })
    this.#solid = new ShaderMaterial({
      vertexShader: SOLID_VERTEX,
      fragmentShader: SOLID_FRAGMENT,
      uniforms: {
        lit: colour(),
        shade: colour(),
        ink: colour(),
        accent: colour(),
        scale: { value: scale },
        paint: { value: 0 },
        range: { value: new Vector2(0, 1) },
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
    const geometry = new BufferGeometry()
    geometry.setAttribute('position', new BufferAttribute(surface.positions, 3))
    geometry.setAttribute('normal', new BufferAttribute(surface.normals, 3))
    const nVertices = surface.positions.length / 3
    // Below zero stands for "not known": the graphics card may not keep NaN.
    const thickness = new Float32Array(nVertices)
    for (let i = 0; i < nVertices; i++) thickness[i] = surface.thickness[i] >= 0 ? surface.thickness[i] : -1
    geometry.setAttribute('thickness', new BufferAttribute(thickness, 1))
    geometry.setIndex(new BufferAttribute(surface.triangles, 1))
    this.#meshes = [new Mesh(geometry, this.#solid), new Mesh(geometry, this.#outline)]
    for (const mesh of this.#meshes) {
      mesh.frustumCulled = false
      this.#scene.add(mesh)
    }
  }

  /** Draws once. */
  draw(look: SolidLook): void {
    const { widthPx, plotPx, fromMm, toMm } = look
    const pxPerMm = plotPx / (toMm - fromMm)
    this.#renderer.setPixelRatio(look.dotsPerPx ?? Math.min(2, devicePixelRatio || 1))
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
    uniforms.paint.value = look.paint ? 1 : 0
    if (look.paint) uniforms.range.value.set(look.paint.from, look.paint.to)
    if (look.band) uniforms.band.value.set(look.band[0], look.band[1])
    else uniforms.band.value.set(0, 0)
    this.#renderer.render(this.#scene, this.#camera)
  }

  dispose(): void {
    this.#clear()
    this.#solid.dispose()
    this.#outline.dispose()
    this.#renderer.dispose()
  }

  #clear(): void {
    for (const mesh of this.#meshes) {
      this.#scene.remove(mesh)
      mesh.geometry.dispose()
    }
    this.#meshes = []
  }
}
