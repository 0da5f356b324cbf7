// Where figure and log stand: one height axis for both, as large as the window lets it be.

import { computed, signal } from '@preact/signals'
import { type HeightFrame, reachOf } from '../picture/index.ts'
import { isPrinting, sheet, topMm } from './state.ts'

/** Width at which the board is laid out for paper, px; print.css shrinks it to the paper's width. */
export const PRINT_BOARD_PX = 980

export const boardPx = signal(1000)
export const windowPx = signal(800)
/** Size of the page's text against the usual 16 px: pictures grow with it. */
export const textScale = signal(1)

export interface BoardFrame extends HeightFrame {
  /** Whole width of the elevation, px; of that, the rule at the left and the flags' gutter at the right. */
  readonly elevationPx: number
  readonly rulePx: number
  readonly gutterPx: number
  /** Width left for the log, px. */
  readonly logPx: number
  readonly pxPerMm: number
  /** Size of the flags, px. */
  readonly flagPx: number
  /** Size of text and lines against their usual size. */
  readonly scale: number
}

/** Width of the place between rule and flags, where the figure stands, px. */
export const figureWidthPx = ({ elevationPx, rulePx, gutterPx }: BoardFrame): number => elevationPx - rulePx - gutterPx

/** Least space above the plot for the tracks' captions, px, and what stands between caption and plot. */
const LEAST_HEAD_PX = 54
const UNDER_CAPTION_PX = 8

/** Least height of the plot: ten flags above each other, px. */
const LEAST_PLOT_PX = 250

/** Lays out figure and log in sizes for usual text. */
const layOutPlain = (
  widthPx: number,
  windowHeightPx: number,
  topOfFigureMm: number,
  reachMm: number,
  captionsPx: number,
): BoardFrame => {
  const isNarrow = widthPx < 620
  const rulePx = isNarrow ? 30 : 46
  const gutterPx = isNarrow ? 32 : 46
  const neededMm = Math.max(topOfFigureMm, 5) * 1.04 + 0.4
  const acrossMm = 2 * Math.max(reachMm, 3)
  const mostPlotPx = isNarrow ? 340 : Math.min(1500, Math.max(380, windowHeightPx - 420))
  // The figure gets the room that the height allows, and at most two fifths of the board: the tracks need the rest.
  const wishedPx = acrossMm * (mostPlotPx / neededMm) + rulePx + gutterPx + 4
  const elevationPx = Math.round(isNarrow ? 0.56 * widthPx : Math.min(0.38 * widthPx, Math.max(300, wishedPx)))
  const roomPx = elevationPx - rulePx - gutterPx - 4
  const pxPerMm = Math.min(mostPlotPx / neededMm, roomPx / acrossMm)
  // A figure that lies is wide and low: its plot is no taller than the flags need, so that little paper stays empty above it.
  const plotPx = Math.round(Math.max(isNarrow ? 220 : LEAST_PLOT_PX, pxPerMm * neededMm))
  return {
    topPx: Math.max(LEAST_HEAD_PX, Math.ceil(captionsPx) + UNDER_CAPTION_PX),
    plotPx,
    fromMm: 0,
    toMm: plotPx / pxPerMm,
    elevationPx,
    rulePx,
    gutterPx,
    logPx: widthPx - elevationPx,
    pxPerMm,
    flagPx: isNarrow ? 20 : 22,
    scale: 1,
  }
}

/** The frame with all its sizes, not its heights in mm, multiplied. */
const resized = (f: BoardFrame, by: number): BoardFrame => ({
  ...f,
  topPx: f.topPx * by,
  plotPx: f.plotPx * by,
  elevationPx: f.elevationPx * by,
  rulePx: f.rulePx * by,
  gutterPx: f.gutterPx * by,
  logPx: f.logPx * by,
  pxPerMm: f.pxPerMm * by,
  flagPx: f.flagPx * by,
  scale: f.scale * by,
})

/** Lays out figure and log for a board of some width in a window of some height, with text of some size. */
export const layOutBoard = (
  widthPx: number,
  windowHeightPx: number,
  topOfFigureMm: number,
  reachMm: number,
  scale = 1,
  captionsPx = 70 * scale,
): BoardFrame =>
  resized(layOutPlain(widthPx / scale, windowHeightPx / scale, topOfFigureMm, reachMm, captionsPx / scale), scale)

/** The same frame in the sizes of usual text: pictures are drawn in these and enlarged as a whole. */
export const drawnFrame = (f: BoardFrame): BoardFrame => resized(f, 1 / f.scale)

/** Height of the tallest caption of a track as it stands, px: the log measures it. */
export const captionsPx = signal(70)

/** Farthest that what is shown reaches from the vertical axis, mm. */
const reachMm = computed(() => {
  const { surface, layers } = sheet.value
  return surface?.reachMm ?? (layers ? reachOf(layers) : 12.5)
})

/** Figure and log as they are laid out for paper. */
export const paperPlan = computed(() => layOutBoard(PRINT_BOARD_PX, 800, topMm.value, reachMm.value))

/** Widths of figure and log: what decides how many tracks stand, and so how tall their captions are. */
export const boardPlan = computed(() => {
  return isPrinting.value
    ? paperPlan.value
    : layOutBoard(boardPx.value, windowPx.value, topMm.value, reachMm.value, textScale.value)
})

export const frame = computed((): BoardFrame => {
  const { scale } = boardPlan.value
  return {
    ...boardPlan.value,
    topPx: Math.max(LEAST_HEAD_PX * scale, Math.ceil(captionsPx.value) + UNDER_CAPTION_PX * scale),
  }
})

/** Height for a place on the board, px from the board's top. */
export const heightAt = (f: BoardFrame, yPx: number): number =>
  f.fromMm + ((f.topPx + f.plotPx - yPx) / f.plotPx) * (f.toMm - f.fromMm)
/** Place on the board for a height, px from its top. */
export const placeOf = (f: BoardFrame, mm: number): number =>
  f.topPx + f.plotPx - ((mm - f.fromMm) / (f.toMm - f.fromMm)) * f.plotPx
