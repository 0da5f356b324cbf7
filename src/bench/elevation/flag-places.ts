// Where the flags of an elevation stand and where their leaders begin: the worst findings, and the one that is looked at.

import type { Finding } from '../../engine/findings/index.ts'
import { type BoardFrame, figureWidthPx, placeOf } from '../board-frame.ts'
import { spreadFlags } from './spread-flags.ts'

/** More flags would hide the figure. */
const MOST_FLAGS = 10

export interface FlagPlace {
  readonly finding: Finding
  readonly number: number
  /** Place of the finding on the elevation, px. */
  readonly atX: number
  readonly wantedY: number
  /** Where the leader leaves its level, and the middle of the flag, px. */
  readonly fromX: number
  readonly x: number
  readonly y: number
}

/** Flags of an elevation turned by `turn` radians. */
export const flagPlaces = (
  findings: readonly Finding[],
  f: BoardFrame,
  turn: number,
  chosenId: string | null,
): readonly FlagPlace[] => {
  const { flagPx } = f
  const room = Math.min(MOST_FLAGS, Math.max(1, Math.floor(f.plotPx / (flagPx + 4)) - 1))
  const flagged = findings
    .map((finding, k) => ({ finding, number: k + 1 }))
    .filter(({ finding, number }) => number <= room || finding.id === chosenId)
  const wanted = flagged.map(({ finding }) => placeOf(f, finding.place.point[2]))
  const places = spreadFlags(wanted, flagPx + 4, f.topPx + flagPx / 2, f.topPx + f.plotPx - flagPx / 2)
  const middle = f.rulePx + figureWidthPx(f) / 2
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)]
  return flagged.map(({ finding, number }, k) => {
    const [x, y] = finding.place.point
    return {
      finding,
      number,
      atX: middle + (x * cos - y * sin) * f.pxPerMm,
      wantedY: wanted[k],
      fromX: f.elevationPx - f.gutterPx + 2,
      x: f.elevationPx - flagPx / 2 - 5,
      y: places[k],
    }
  })
}
