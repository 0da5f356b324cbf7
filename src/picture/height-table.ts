// The table that stands behind the height log, for screen readers and for copying: the same numbers as the tracks.

import { layerAtHeight } from '../engine/kernel/index.ts'
import { shown } from './scales.ts'
import { escapeText } from './svg-text.ts'
import type { TrackPicture } from './track-svg.ts'

/**
 * All tracks, second lines too, as one HTML table, a row for every step of height, topmost first as on the sheet.
 * @param stepMm distance between two rows, mm
 */
export const heightTable = (tracks: readonly TrackPicture[], faceZ: ArrayLike<number>, stepMm = 1): string => {
  const columns = tracks.flatMap(({ quantity, unit, values, decimals, other }) => {
    const named = (name: string) => (unit ? `${name}, ${unit}` : name)
    const column = { name: named(quantity), values, decimals }
    return other ? [column, { name: named(`${quantity} ${other.label}`), values: other.values, decimals }] : [column]
  })
  const head = columns.map(({ name }) => `<th scope="col">${escapeText(name)}</th>`).join('')
  const topMm = faceZ[faceZ.length - 1]
  let rows = ''
  for (let k = Math.floor((topMm - 1e-9) / stepMm); k >= 0; k--) {
    const mm = k * stepMm
    const layer = layerAtHeight(faceZ, mm)
    const cells = columns.map(({ values, decimals }) => `<td>${shown(values[layer], decimals)}</td>`).join('')
    rows += `<tr><th scope="row">${shown(mm, stepMm < 1 ? 1 : 0)}</th>${cells}</tr>`
  }
  return (
    `<table class="height-table"><caption>Height log, a row every ${stepMm} mm, highest first</caption>` +
    `<thead><tr><th scope="col">height, mm</th>${head}</tr></thead><tbody>${rows}</tbody></table>`
  )
}
