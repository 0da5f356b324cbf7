// The lit solid drawn once, off the screen and in light inks, for a picture that is kept: by a worker, or on the page where none can.

import { type BoardFrame, figureWidthPx } from '../board-frame.ts'
import { canDrawFar, FarSolid } from '../elevation/far-solid.ts'
import type { HeightQuantity, SolidLook } from '../elevation/solid-view.ts'
import type { DisplaySurface, SurfaceQuantity } from '../messages.ts'
import { LIGHT_INKS } from './light-inks.ts'

const dataAddress = (blob: Blob): Promise<string> =>
  new Promise((resolve, reject) => {
    const reader = new FileReader()
    reader.onload = () => resolve(String(reader.result))
    reader.onerror = () => reject(reader.error)
    reader.readAsDataURL(blob)
  })

/** Null where a worker cannot draw. */
const drawnFar = (surface: DisplaySurface, look: SolidLook): Promise<Blob | null> =>
  new Promise((resolve) => {
    const end = (picture: Blob | null) => {
      far.dispose()
      resolve(picture)
    }
    const far = new FarSolid(document.createElement('canvas'), () => end(null))
    far.show(surface)
    void far.picture(look).then(end)
  })

const drawnNear = async (surface: DisplaySurface, look: SolidLook): Promise<string> => {
  const { SolidView } = await import('../elevation/solid-view.ts')
  const canvas = document.createElement('canvas')
  const view = new SolidView(canvas)
  try {
    view.show(surface)
    view.draw(look)
    return canvas.toDataURL('image/png')
  } finally {
    view.dispose()
  }
}

/** The figure as a PNG data address, `sidePx` along its longer side. @throws when the browser has no WebGL */
export const solidPicture = async (
  surface: DisplaySurface,
  f: BoardFrame,
  turn: number,
  sidePx: number,
  paint: SurfaceQuantity | HeightQuantity | null,
): Promise<string> => {
  const widthPx = figureWidthPx(f)
  const look: SolidLook = {
    widthPx,
    plotPx: f.plotPx,
    fromMm: f.fromMm,
    toMm: f.toMm,
    turn,
    scrubMm: -9,
    band: null,
    paint,
    inks: LIGHT_INKS,
    dotsPerPx: sidePx / Math.max(widthPx, f.plotPx),
  }
  const far = canDrawFar() ? await drawnFar(surface, look) : null
  return far ? dataAddress(far) : drawnNear(surface, look)
}
