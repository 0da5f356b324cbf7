// The worker that draws the solid: what waits for the graphics card waits here, and the page stays free.

import type { SurfaceQuantity } from '../messages.ts'
import type { BareLook, SolidAnswer, SolidOrder } from './solid-messages.ts'
import { type HeightQuantity, SolidView } from './solid-view.ts'

const place = globalThis as unknown as {
  postMessage: (answer: SolidAnswer) => void
  onmessage: ((event: { readonly data: SolidOrder }) => void) | null
  requestAnimationFrame?: (then: () => void) => void
}

/** A hidden page has no frames: then the answer does not wait for one longer than this, ms. */
const LONGEST_FRAME_MS = 120

let canvas: OffscreenCanvas | null = null
let view: SolidView | null = null
let paint: SurfaceQuantity | HeightQuantity | null = null
let shown: BareLook | null = null

/** Answers when the frame is on its way to the screen, so that looks do not pile up. */
const afterFrame = (then: () => void): void => {
  let isDone = false
  const once = () => {
    if (isDone) return
    isDone = true
    then()
  }
  place.requestAnimationFrame?.(once)
  setTimeout(once, LONGEST_FRAME_MS)
}

const drawn = (number: number, picture: Blob | null = null): void =>
  place.postMessage({ what: 'drawn', number, picture })

const obey = async (order: SolidOrder): Promise<void> => {
  if (order.what === 'canvas') {
    canvas = order.canvas
    view = new SolidView(canvas)
    view.warmUp()
    return
  }
  if (!view || !canvas) return
  if (order.what === 'surface') view.show({ ...order.surface, quantities: [] })
  else if (order.what === 'paint') paint = order.paint
  else if (order.asPicture) {
    view.draw({ ...order.look, paint })
    const picture = canvas.convertToBlob({ type: 'image/png' })
    if (shown) view.draw({ ...shown, paint })
    drawn(order.number, await picture)
  } else {
    shown = order.look
    view.draw({ ...shown, paint })
    afterFrame(() => drawn(order.number))
  }
}

place.onmessage = ({ data }) => {
  obey(data).catch(() => place.postMessage({ what: 'failed' }))
}
