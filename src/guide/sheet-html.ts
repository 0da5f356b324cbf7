// The sheet as one self-contained HTML file: no script, nothing loaded from elsewhere, two pages on A4 or Letter.
// Question answered: will it come out, why not, what to change, as something to print, send or keep.

import { roleIndex } from '../engine/beads/index.ts'
import { type CodeReport, type Examination, recipeInForce } from '../engine/examine/index.ts'
import type { Finding } from '../engine/findings/index.ts'
import { layerAtHeight } from '../engine/kernel/index.ts'
import { surplusOfLayer } from '../engine/melt/index.ts'
import {
  elevationSvg,
  escapeText,
  flagMarks,
  type HeightFrame,
  heightScale,
  heightTable,
  type PlanMark,
  reachOf,
  sectionSvg,
  trackSvg,
} from '../picture/index.ts'
import { RECIPE_FIELDS, valueRows } from '../recipe/index.ts'
import { findingHtml, findingRows } from './finding-html.ts'
import { heatRows } from './heat-words.ts'
import { printRows } from './print-words.ts'
import type { SheetSource } from './sheet-json.ts'
import { SHEET_STYLE } from './sheet-style.ts'
import { strengthRows } from './strength-words.ts'
import { surfaceLine } from './surface-words.ts'
import { CAUTIONS, durationWords, numberWords, settingRows } from './words.ts'

/** Findings told in full and in one line; what is beyond is counted only, so that the sheet stays at two pages. */
const IN_FULL = 3
const IN_A_LINE = 6
/** Tracks that stand in the table of numbers only, so that the others take two rows of paper at most; findings tell of them in words. */
const NUMBERS_ONLY = new Set(['gear-passes', 'steps'])
/** Height of the log's plot and of the space above it for headings, px. */
const PLOT_PX = 210
const HEAD_PX = 60
const RULE_PX = 34
const FLAG_PX = 34
const FLAG_APART_PX = 20
/** Width of the narrowest paper between its margins (A4, 188 mm at 96 px an inch), and the gap of the style, px. */
const ROW_PX = 706
const GAP_PX = 10

const heightFrame = (topMm: number): HeightFrame => ({ fromMm: 0, toMm: topMm * 1.03, topPx: HEAD_PX, plotPx: PLOT_PX })

/** Places moved as little as a simple sweep can, so that neighbours are `least` apart and none lies above `top`. */
export const apart = (places: readonly number[], least: number, top: number): number[] => {
  const moved = [...places]
  const order = places.map((_, i) => i).sort((a, b) => places[b] - places[a] || a - b)
  order.forEach((i, k) => {
    if (k > 0) moved[i] = Math.min(moved[i], moved[order[k - 1]] - least)
  })
  order.reverse().forEach((i, k) => {
    moved[i] = Math.max(moved[i], top + k * least)
  })
  return moved
}

/** Width of the drawn figure with its rule, px. */
const elevationWidth = ({ layers, figure }: Examination): number => {
  const frame = heightFrame(figure.max[2])
  const pxPerMm = frame.plotPx / (frame.toMm - frame.fromMm)
  return Math.min(300, Math.max(120, 2 * reachOf(layers) * pxPerMm)) + RULE_PX
}

/** The standing figure against its rule, with the flags at its right, moved apart where they would cover each other. */
const elevation = (examination: Examination): string => {
  const { layers, figure, findings, summary } = examination
  const frame = heightFrame(figure.max[2])
  const widthPx = elevationWidth(examination)
  const label = `${summary.name} from the front, ${numberWords(summary.totalHeightMm)} mm tall, with ${findings.length} flags`
  const drawn = elevationSvg(layers, label, { ...frame, widthPx, turn: 0, rulePx: RULE_PX })
  const y = heightScale(frame)
  const told = findings.slice(0, IN_FULL + IN_A_LINE)
  const middles = told.map(({ place }) => y((place.fromMm + place.toMm) / 2))
  const places = apart(middles, FLAG_APART_PX, FLAG_APART_PX / 2)
  const flags = told.map(({ severity }, i) => flagMarks(severity, i + 1, FLAG_PX / 2, places[i], 20)).join('')
  const tall = frame.topPx + frame.plotPx + 12
  return (
    `<figure>${drawn}</figure><figure><svg xmlns="http://www.w3.org/2000/svg" width="${FLAG_PX}" height="${tall}" ` +
    `viewBox="0 0 ${FLAG_PX} ${tall}" role="img" aria-label="Flags beside the figure; the findings below carry the same numbers">${flags}</svg></figure>`
  )
}

/** Tracks as wide as fits beside the figure on paper; those that would be too narrow go into a second row. */
const log = (examination: Examination): string => {
  const { layers, figure } = examination
  const tracks = examination.tracks.filter(({ id }) => !NUMBERS_ONLY.has(id))
  const frame = heightFrame(figure.max[2])
  const free = ROW_PX - elevationWidth(examination) - FLAG_PX - (tracks.length + 1) * GAP_PX
  const widthPx = Math.min(120, Math.max(64, Math.floor(free / Math.max(1, tracks.length))))
  return tracks
    .map((track) => `<figure>${trackSvg(track, layers.faceZ, { ...frame, widthPx, head: true })}</figure>`)
    .join('')
}

const markOf = ({ rule, place, evidence }: Finding): PlanMark => {
  const kind = /air/.test(rule) ? 'air' : /vanish|lost/.test(rule) ? 'lost' : 'thin'
  const first = evidence[0]
  const label = first ? `${first.label} ${numberWords(first.value)} ${first.unit}`.trim() : 'here'
  return { kind, x: place.point[0], y: place.point[1], radiusMm: Math.sqrt(place.areaMm2 / Math.PI), label }
}

/** The layer at the worst finding, in plan. */
const worstSection = ({ findings, layers, print }: Examination): string => {
  const worst = findings[0]
  if (!worst) return ''
  const { point, fromLayer, toLayer } = worst.place
  const layer = Math.min(layers.nLayers - 1, toLayer, Math.max(fromLayer, layerAtHeight(layers.faceZ, point[2])))
  const loops = (i: number) => ({
    loopStart: layers.loopStart,
    points: layers.points,
    fromLoop: layers.layerStart[i],
    toLoop: layers.layerStart[i + 1],
  })
  const heightMm = layers.cutZ[layer].toFixed(2)
  const label = `Section ${heightMm} mm up, layer ${layer + 1}: ${worst.title}`
  const laid = print && {
    beads: {
      ...print.plan,
      stride: 3 as const,
      fromBead: print.plan.layerStart[layer],
      toBead: print.plan.layerStart[layer + 1],
      isLeftOut: (bead: number) => print.plan.role[bead] === roleIndex('priming loop'),
    },
    plastic: surplusOfLayer(print.plan, layers, layer, print.recipe.flowShare, print.recipe.infillShare),
  }
  const drawn = sectionSvg(
    { solid: loops(layer), below: layer > 0 ? loops(layer - 1) : undefined, marks: [markOf(worst)], label, ...laid },
    { widthPx: 340, heightPx: 230 },
  )
  return `<figure class="plan">${drawn}<figcaption>Section ${heightMm} mm up, at the worst finding; ${print ? 'beads to scale, fuller ink where plastic has no room; ' : ''}dashed: the layer below.</figcaption></figure>`
}

const findingsPart = (examination: Examination): string => {
  const { findings } = examination
  if (findings.length === 0) return '<h2>Findings</h2><p>Nothing was found that keeps this figure from coming out.</p>'
  const rest = findings.slice(IN_FULL, IN_FULL + IN_A_LINE)
  const beyond = findings.length - IN_FULL - rest.length
  const table = rest.length
    ? `<h2>Further findings</h2><table class="rows"><tbody>${findingRows(rest, IN_FULL + 1)}</tbody></table>`
    : ''
  const uncounted =
    beyond > 0 ? `<p class="quiet">${beyond} more, none of them graver, are in the sheet's data.</p>` : ''
  const full = findings.slice(0, IN_FULL).map((finding, i) => findingHtml(finding, i + 1))
  return `<h2>Findings</h2>${full.join('')}${table}${uncounted}`
}

const items = (texts: readonly string[]): string =>
  `<ul>${texts.map((text) => `<li>${escapeText(text)}</li>`).join('')}</ul>`

const tableOf = (rows: readonly (readonly [string, string])[]): string =>
  `<table><tbody>${rows.map(([name, value]) => `<tr><th scope="row">${escapeText(name)}</th><td>${escapeText(value)}</td></tr>`).join('')}</tbody></table>`

const printPart = (examination: Examination): string => {
  const rows = [
    ...printRows(examination),
    ...heatRows(examination),
    // How it stands; the rest is in the sheet's data and in the report, for want of room.
    ...strengthRows(examination).slice(0, 1),
    ...surfaceLine(examination),
  ]
  return rows.length > 0 ? `<section class="print"><h2>The print</h2>${tableOf(rows)}</section>` : ''
}

/** Differences told on paper. */
const DIFFERENCES = 8

const codePart = (code: CodeReport | null): string => {
  if (!code) return ''
  const all = code.differences ?? []
  const told = all.slice(0, DIFFERENCES).map(({ words }) => words)
  const more = all.length > told.length ? [`${all.length - told.length} smaller ones are in the sheet's data.`] : []
  const same = all.length === 0 ? ['It does what the plan asks: layers, plastic, time and beads agree.'] : []
  return `<h2>Against the print file ${escapeText(code.name)}</h2>${items([...same, ...told, ...more])}`
}

/**
 * The whole file as text.
 * @param source names the file, the tool's version and both hashes; they stand at the foot
 * @param code a print file held against the plan
 */
export const sheetHtml = (examination: Examination, source: SheetSource, code: CodeReport | null = null): string => {
  const { summary, settings, tracks, layers } = examination
  const facts = [
    `${numberWords(summary.soleToEyeMm)} mm from sole to eye line`,
    `${numberWords(summary.totalHeightMm)} mm tall`,
    `${numberWords(summary.volumeMm3)} mm³`,
    `${summary.nLayers} layers of ${numberWords(settings.layerHeightMm)} mm`,
    ...(summary.massG === null ? [] : [`${numberWords(summary.massG)} g`]),
    ...(summary.printS === null ? [] : [`${durationWords(summary.printS)} of printing`]),
  ].join(' · ')
  const recipe = valueRows(RECIPE_FIELDS, recipeInForce(settings))
  const worst = worstSection(examination)
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<title>${escapeText(summary.name)}: examination sheet</title>
<style>${SHEET_STYLE}</style>
</head>
<body>
<main>
<header><h1>${escapeText(summary.name)}</h1><p class="facts">${escapeText(facts)}</p></header>
<p class="verdict">${escapeText(summary.verdict)}</p>
<section class="log" aria-label="Height log">${elevation(examination)}${log(examination)}${printPart(examination)}</section>
<details><summary>The numbers behind the height log</summary><div class="scroll">${heightTable(tracks, layers.faceZ)}</div>
${items(tracks.map((track) => `${track.quantity}: ${track.why}`))}</details>
${findingsPart(examination)}
${codePart(code)}
<div class="feet"><section>${worst ? `<h2>Where the worst is</h2>${worst}` : ''}<h2>Cautions</h2><p>${escapeText(CAUTIONS.join(' '))}</p></section>
<section><h2>Settings</h2>${tableOf(settingRows(settings))}</section>
<section><h2>Assumed</h2>${items(summary.assumed)}</section></div>
<details><summary>The recipe in force</summary>${tableOf(recipe)}</details>
<footer class="quiet"><p>Examined with fettle ${escapeText(source.toolVersion)}.
<span class="hash">${escapeText(source.fileName)}, SHA-256 ${escapeText(source.fileSha256)}; settings ${escapeText(source.settingsSha256.slice(0, 16))}</span></p></footer>
</main>
</body>
</html>
`
}
