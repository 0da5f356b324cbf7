// Several stances side by side, each as a small elevation to one scale, numbered, with its attitude below.

import { elevationSvg, reachOf, type StackPicture } from './elevation-svg.ts'
import { FAINT, inLines, picture, px, textAt } from './svg-text.ts'

export interface StanceInGallery {
  readonly stack: StackPicture
  readonly heightMm: number
  readonly title: string
  readonly words: string
}

/** Pixels for each mm that let all of them fit the same frame. */
export const galleryScale = (stances: readonly StanceInGallery[], widthPx: number, heightPx: number): number =>
  Math.min(
    ...stances.map(({ stack, heightMm }) =>
      Math.min((widthPx - 8) / (2 * reachOf(stack) + 1), (heightPx - 20) / (heightMm + 1)),
    ),
  )

/** One small elevation, standing on its bed line. */
export const stancePicture = (stance: StanceInGallery, pxPerMm: number, widthPx: number, heightPx: number): string => {
  const plotPx = heightPx - 12
  return elevationSvg(stance.stack, `${stance.title}: ${stance.words}`, {
    fromMm: 0,
    toMm: plotPx / pxPerMm,
    plotPx,
    topPx: 0,
    widthPx,
    turn: 0,
  })
}

/** All of them in one row, to one scale. */
export const stanceGallerySvg = (stances: readonly StanceInGallery[], label: string, eachPx = 190): string => {
  const tall = 210
  const pxPerMm = galleryScale(stances, eachPx, tall)
  let inside = ''
  stances.forEach((stance, i) => {
    const x = i * eachPx
    inside += stancePicture(stance, pxPerMm, eachPx, tall).replace('<svg', `<svg x="${px(x)}" y="0"`)
    inside += textAt(x + eachPx / 2, tall + 12, stance.title, { 'text-anchor': 'middle', 'font-weight': 700 })
    inLines(stance.words, 30).forEach((line, k) => {
      inside += textAt(x + eachPx / 2, tall + 27 + 13 * k, line, {
        'text-anchor': 'middle',
        'font-size': 10.5,
        fill: FAINT,
      })
    })
  })
  return picture(eachPx * Math.max(1, stances.length), tall + 70, label, inside)
}
