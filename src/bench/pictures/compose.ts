// Pictures that stand alone: figure with rule and flags, height log, both on one height axis, section. Light inks, sizes in px at 96 to the inch.

import {
  bedMarks,
  escapeText,
  flagMarks,
  legendHeightPx,
  legendSvg,
  ruleMarks,
  sectionSvg,
  TRACK_FOOT_PX,
  type TrackPicture,
  trackSvg,
} from '../../picture/index.ts'
import { type BoardFrame, figureWidthPx } from '../board-frame.ts'
import { flagPlaces } from '../elevation/flag-places.ts'
import type { Paint } from '../elevation/paint.ts'
import type { SheetParts } from '../messages.ts'
import { alongOf } from '../section/along-outline.ts'
import { beadsOfLayer, plasticOfLayer } from '../section/layer-plastic.ts'
import { linesAlong } from '../section/outline-lines.ts'
import { planOf, readSection } from '../section/section-words.ts'

/** A picture as SVG text, with its size. */
export interface StandingPicture {
  readonly svg: string
  readonly widthPx: number
  readonly heightPx: number
}

const FOOT_PX = 16
const PAINTED_FOOT_PX = 44
const GAP_PX = 10
const FONT = 'Gill Sans, Gill Sans MT, Candara, Open Sans, Noto Sans, sans-serif'

/** What stands inside an SVG, without its outermost element. */
const insideOf = (svg: string): string => svg.replace(/^<svg[^>]*>/, '').replace(/<\/svg>$/, '')

const wrap = (widthPx: number, heightPx: number, label: string, inside: string): StandingPicture => ({
  widthPx,
  heightPx,
  svg:
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${widthPx} ${heightPx}" width="${widthPx}" height="${heightPx}" role="img" ` +
    `aria-label="${escapeText(label)}" font-family="${FONT}"><rect width="100%" height="100%" fill="#fdfcf8"/>${inside}</svg>`,
})

/** Legend of what is laid over the figure. */
const legendAt = ({ name, unit, from, to, decimals, limit }: Paint, x: number, y: number): string =>
  `<g transform="translate(${x} ${y})">${insideOf(legendSvg(name, unit, from, to, decimals, 180, limit))}</g>`

/** The legend under the bed; empty when nothing is laid over the figure. */
const legendMarks = (paint: Paint | null, f: BoardFrame): string =>
  paint ? legendAt(paint, f.rulePx, f.topPx + f.plotPx + 14) : ''

const figureMarks = (parts: SheetParts, f: BoardFrame, turn: number, solidPng: string): string => {
  const widthPx = figureWidthPx(f)
  const flags = flagPlaces(parts.findings ?? [], f, turn, null)
    .map(
      ({ finding, number, atX, wantedY, x, y, fromX }) =>
        `<path d="M${atX} ${wantedY}L${fromX} ${wantedY}L${x - f.flagPx / 2 - 2} ${y}" fill="none" stroke="#1c2327" stroke-width="0.7"/>` +
        `<circle cx="${atX}" cy="${wantedY}" r="2.2" fill="#fdfcf8" stroke="#1c2327" stroke-width="1.2"/>` +
        flagMarks(finding.severity, number, x, y, f.flagPx),
    )
    .join('')
  return (
    `<image x="${f.rulePx}" y="${f.topPx}" width="${widthPx}" height="${f.plotPx}" preserveAspectRatio="none" href="${solidPng}"/>` +
    ruleMarks(f, f.rulePx - 2) +
    bedMarks(f.rulePx - 2, f.elevationPx, f.topPx + f.plotPx) +
    flags
  )
}

/** Figure against its rule, with flags. @param solidPng the lit solid as a data address, drawn for this frame */
export const figurePicture = (
  parts: SheetParts,
  f: BoardFrame,
  turn: number,
  solidPng: string,
  paint: Paint | null,
): StandingPicture => {
  const top = f.topPx - 24
  return wrap(
    f.elevationPx,
    f.plotPx + 24 + (paint ? PAINTED_FOOT_PX : FOOT_PX),
    `${parts.figure?.name ?? 'Figure'} in elevation, against a rule in mm`,
    `<g transform="translate(0 ${-top})">${figureMarks(parts, f, turn, solidPng)}${legendMarks(paint, f)}</g>`,
  )
}

const trackGroups = (
  tracks: readonly TrackPicture[],
  faceZ: Float64Array,
  f: BoardFrame,
  fromX: number,
  widthPx: number,
): string =>
  tracks
    .map((track, k) => {
      const svg = trackSvg(track, faceZ, { ...f, widthPx, head: true })
      return `<g transform="translate(${fromX + k * (widthPx + GAP_PX)} 0)">${insideOf(svg)}</g>`
    })
    .join('')

/** Height log with its own rule; with `solidPng` the figure stands at its left. */
export const logPicture = (
  parts: SheetParts,
  tracks: readonly TrackPicture[],
  f: BoardFrame,
  trackPx: number,
  turn: number,
  solidPng: string | null,
  paint: Paint | null,
): StandingPicture => {
  const faceZ = parts.layers?.faceZ ?? new Float64Array(1)
  const fromX = solidPng ? f.elevationPx + 4 : f.rulePx + 6
  const widthPx = Math.ceil(fromX + tracks.length * (trackPx + GAP_PX))
  const left = solidPng ? figureMarks(parts, f, turn, solidPng) + legendMarks(paint, f) : ruleMarks(f, f.rulePx - 2)
  const top = f.topPx - 62
  return wrap(
    widthPx,
    Math.ceil(f.plotPx + 62 + (solidPng && paint ? PAINTED_FOOT_PX : TRACK_FOOT_PX + 2)),
    `Height log of ${parts.figure?.name ?? 'the figure'}`,
    `<g transform="translate(0 ${-top})">${left}${trackGroups(tracks, faceZ, f, fromX, trackPx)}</g>`,
  )
}

/** Section of a layer in plan, with what is laid over the figure along its outlines; null while the layers are not cut. */
export const sectionPicture = (parts: SheetParts, layer: number, paint: Paint | null): StandingPicture | null => {
  const { layers, printed } = parts
  const reading = readSection(parts, layer)
  if (!layers || !reading) return null
  const [widthPx, heightPx] = [520, 360]
  const lines = paint ? linesAlong(parts, layer, paint) : null
  const along = paint && lines ? alongOf(lines, paint) : null
  const svg = sectionSvg(
    {
      solid: planOf(layers, layer),
      ...(printed
        ? { beads: beadsOfLayer(printed, layer), plastic: plasticOfLayer(printed, layers, layer) ?? undefined }
        : {}),
      ...(along ? { along } : {}),
      ...(layer > 0 ? { below: planOf(layers, layer - 1) } : {}),
      marks: reading.marks,
      label: `${reading.title}, in plan: ${reading.whole}`,
    },
    { widthPx, heightPx, mostPxPerMm: 50 },
  )
  const legend =
    along && paint
      ? legendAt(paint, 10, heightPx)
      : paint
        ? `<text x="10" y="${heightPx + 10}" font-size="10.5" fill="#5f686d">${escapeText(paint.name)} is not known at this height</text>`
        : ''
  return wrap(
    widthPx,
    heightPx + (legend ? 8 + legendHeightPx(paint?.limit) : 0),
    `${reading.title}, in plan: ${reading.whole}`,
    insideOf(svg) + legend,
  )
}
