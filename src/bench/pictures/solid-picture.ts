// The lit solid drawn once, off the screen and in light inks, for a picture that is kept: by a worker, or on the page where none can.

import type { BoardFrame } from '../board-frame.ts'
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
const drawnFar = async (surface: DisplaySurface, look: SolidLook): Promise<string | null> => {
  if (!canDrawFar()) return null
  let fail: () => void = () => undefined
  const failed = new Promise<null>((resolve) => {
    fail = () => resolve(null)
  })
  const far = new FarSolid(document.createElement('canvas'), () => fail())
  try {
    far.show(surface)
    const picture = await Promise.race([far.picture(look), failed])
    return picture && (await dataAddress(picture))
  } finally {
    far.dispose()
  }
}

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
  const widthPx = f.elevationPx - f.rulePx - f.gutterPx
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
  return (await drawnFar(surface, look)) ?? drawnNear(surface, look)
}
