// The sheet as data: form "fettle-sheet", version 1. Holds every number of the sheet, not the mesh and not the outlines.

import { type CodeReport, type Examination, recipeInForce } from '../engine/examine/index.ts'
import type { FieldFacts } from './field-words.ts'
import { heatFacts } from './heat-words.ts'
import { type Plain, plain } from './plain.ts'
import { surfaceFacts } from './surface-facts.ts'

export const SHEET_FORM = 'fettle-sheet'
export const SHEET_VERSION = 1

/** Where an examination comes from, so that it can be repeated. */
export interface SheetSource {
  readonly toolVersion: string
  /** Name of the file as it was given, without its folder. */
  readonly fileName: string
  /** SHA-256 of the file's bytes and of the settings as JSON, hex. */
  readonly fileSha256: string
  readonly settingsSha256: string
}

/** Area inside the outlines of each layer less holes, mm2. */
const layerAreas = ({ layers }: Examination): Float64Array => {
  const areas = new Float64Array(layers.nLayers)
  for (let i = 0; i < layers.nLayers; i++)
    for (let j = layers.layerStart[i]; j < layers.layerStart[i + 1]; j++) areas[i] += layers.loopArea[j]
  return areas
}

/** What a print comes to, without its beads; null when none was planned. */
const printFacts = ({ print }: Examination): object | null => {
  if (!print) return null
  const { timeline, fit, balance, thickFilament, steady, strings, gear, limit, report } = print
  return {
    massG: report.massG,
    volumeMm3: report.volumeMm3,
    times: timeline.totals,
    fit,
    nLayersWithoutInfill: report.nLayersWithoutInfill,
    fullInfillAddsG: report.layerFullInfillAddsG,
    balance: balance.totals,
    balanceOfThickestFilament: thickFilament.totals,
    steadyFlow: steady,
    threads: strings.layerThreads.reduce((a, b) => a + b, 0),
    nCrossings: strings.nCrossings,
    gear,
    melt: {
      conductionMm3PerS: limit.conductionMm3PerS,
      cardMm3PerS: limit.cardMm3PerS,
      mostMm3PerS: limit.layerMost,
      nBeadsOver: limit.nBeadsOver,
    },
  }
}

/**
 * The sheet as a JSON value with keys in a fixed order. The same examination gives the same text.
 * @param code a print file held against it; its key is left out without one
 * @param field the whole field of stress; its key is left out without one
 */
export const sheetJson = (
  examination: Examination,
  source: SheetSource,
  code: CodeReport | null = null,
  field: FieldFacts | null = null,
): Plain => {
  const { settings, summary, figure, layers, relations, shellFit, vanishing, tracks, findings } = examination
  const { mesh: _mesh, ...figureFacts } = figure
  return plain({
    form: SHEET_FORM,
    version: SHEET_VERSION,
    tool: { name: 'fettle', version: source.toolVersion },
    source: { fileName: source.fileName, sha256: source.fileSha256 },
    settings: { ...settings, recipe: recipeInForce(settings), sha256: source.settingsSha256 },
    summary,
    figure: figureFacts,
    layers: {
      nLayers: layers.nLayers,
      faceZ: layers.faceZ,
      areaMm2: layerAreas(examination),
      nResolvedLayers: layers.nResolvedLayers,
      bedContactMm2: relations.bedContact,
      shellPitch: shellFit.pitch,
    },
    vanishing,
    tracks,
    print: printFacts(examination),
    heat: heatFacts(examination),
    surface: surfaceFacts(examination),
    findings,
    ...(code ? { code } : {}),
    ...(field ? { field } : {}),
  })
}

/** Words of the sheet's data as one line of text. */
export const sheetLine = (
  examination: Examination,
  source: SheetSource,
  code: CodeReport | null = null,
  field: FieldFacts | null = null,
): string => JSON.stringify(sheetJson(examination, source, code, field))
