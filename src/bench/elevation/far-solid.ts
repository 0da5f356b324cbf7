// The solid drawn by a worker onto a canvas of the page: looks are sent one at a time, and only the newest waits.

import type { DisplaySurface } from '../messages.ts'
import type { SolidAnswer, SolidOrder } from './solid-messages.ts'
import type { SolidLook } from './solid-view.ts'

/** True where a worker can draw onto a canvas of the page. */
export const canDrawFar = (): boolean =>
  typeof OffscreenCanvas !== 'undefined' && 'transferControlToOffscreen' in HTMLCanvasElement.prototype

/** Owns the worker; the canvas it was given belongs to the worker for good. */
export class FarSolid {
  readonly #worker = new Worker(new URL('./solid-worker.ts', import.meta.url), { type: 'module' })
  readonly #waiting = new Map<number, (picture: Blob | null) => void>()
  #number = 0
  #surface: DisplaySurface | null = null
  #paint: SolidLook['paint'] = null
  #isBusy = false
  #next: { readonly look: SolidLook; readonly done: () => void } | null = null

  /** @param onFail the worker cannot draw: no WebGL there, or it did not start */
  constructor(canvas: HTMLCanvasElement, onFail: () => void) {
    const far = canvas.transferControlToOffscreen()
    this.#worker.onerror = onFail
    this.#worker.onmessage = ({ data }: MessageEvent<SolidAnswer>) => {
      if (data.what === 'failed') {
        onFail()
        return
      }
      this.#waiting.get(data.number)?.(data.picture)
      this.#waiting.delete(data.number)
    }
    this.#tell({ what: 'canvas', canvas: far }, [far])
  }

  /** Takes a surface; a copy goes to the worker. */
  show(surface: DisplaySurface): void {
    if (surface === this.#surface) return
    // The same vertices with other quantities to lay over them need not be sent again.
    const isNew = surface.positions !== this.#surface?.positions
    this.#surface = surface
    if (!isNew) return
    const { positions, normals, triangles, reachMm } = surface
    this.#tell({ what: 'surface', surface: { positions, normals, triangles, reachMm } })
    this.#paint = null
  }

  /** Draws when the worker is free; a look that was still waiting is given up. */
  draw(look: SolidLook, done: () => void): void {
    this.#next = { look, done }
    if (!this.#isBusy) this.#sendNext()
  }

  /** The look as a picture of its own; the canvas stays as it is. */
  picture(look: SolidLook): Promise<Blob | null> {
    return new Promise((resolve) => this.#send(look, true, resolve))
  }

  dispose(): void {
    this.#worker.terminate()
    this.#waiting.clear()
    this.#next = null
  }

  #sendNext(): void {
    const next = this.#next
    if (!next) return
    this.#next = null
    this.#isBusy = true
    this.#send(next.look, false, () => {
      this.#isBusy = false
      next.done()
      this.#sendNext()
    })
  }

  #send({ paint, ...look }: SolidLook, asPicture: boolean, then: (picture: Blob | null) => void): void {
    if (paint !== this.#paint) this.#tell({ what: 'paint', paint })
    this.#paint = paint
    const number = this.#number++
    this.#waiting.set(number, then)
    this.#tell({ what: 'look', number, look, asPicture })
  }

  #tell(order: SolidOrder, transfer: Transferable[] = []): void {
    this.#worker.postMessage(order, transfer)
  }
}
