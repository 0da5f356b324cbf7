// Whether a plan fits the bed, the height of the machine, and stays under the gantry.

import type { PrinterCard } from '../../recipe/index.ts'
import type { BeadPlan } from '../beads/index.ts'
import type { MachineFit } from './types.ts'

/** Extents of all beads, bead width counted, against the machine. The plan may stand anywhere in plan: only its size counts. */
export const machineFit = (plan: BeadPlan, printer: PrinterCard): MachineFit => {
  let minX = Number.POSITIVE_INFINITY
  let minY = Number.POSITIVE_INFINITY
  let maxX = Number.NEGATIVE_INFINITY
  let maxY = Number.NEGATIVE_INFINITY
  let heightMm = 0
  const { points, pointWidth } = plan
  for (let i = 0; 3 * i < points.length; i++) {
    const half = pointWidth[i] / 2
    const x = points[3 * i]
    const y = points[3 * i + 1]
    if (x - half < minX) minX = x - half
    if (x + half > maxX) maxX = x + half
    if (y - half < minY) minY = y - half
    if (y + half > maxY) maxY = y + half
    if (points[3 * i + 2] > heightMm) heightMm = points[3 * i + 2]
  }
  const widthMm = Math.max(0, maxX - minX)
  const depthMm = Math.max(0, maxY - minY)
  return {
    widthMm,
    depthMm,
    heightMm,
    fitsBed: widthMm <= printer.bedXMm && depthMm <= printer.bedYMm,
    fitsHeight: heightMm <= printer.tallestMm,
    underGantry: heightMm <= printer.gantryHeightMm,
  }
}
