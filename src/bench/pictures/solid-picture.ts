// The lit solid drawn once, off the screen and in light inks, for a picture that is kept.

import type { BoardFrame } from '../board-frame.ts'
import { type HeightQuantity, SolidView } from '../elevation/solid-view.ts'
import type { DisplaySurface, SurfaceQuantity } from '../messages.ts'
import { LIGHT_INKS } from './light-inks.ts'

/** The figure as a PNG data address, `sidePx` along its longer side. @throws when the browser has no WebGL */
export const solidPicture = async (
  surface: DisplaySurface,
  f: BoardFrame,
  turn: number,
  sidePx: number,
  paint: SurfaceQuantity | HeightQuantity | null,
): Promise<string> => {
  const canvas = document.createElement('canvas')
  const widthPx = f.elevationPx - f.rulePx - f.gutterPx
  const view = new SolidView(canvas)
  try {
    view.show(surface)
    view.draw({
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
    })
    return canvas.toDataURL('image/png')
  } finally {
    view.dispose()
  }
}
