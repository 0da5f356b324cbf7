// The verb "soft": asks the worker, tells tables in words, draws them when asked for.

import type { SoftAnswer, SoftSeries } from '../engine/examine/index.ts'
import { plain } from '../guide/index.ts'
import { softSvg } from '../picture/index.ts'
import { EXIT, type ExitCode } from './exit-codes.ts'
import { wrap } from './help.ts'
import type { Surroundings } from './places.ts'
import { numberIn, type SettingOptions } from './settings-from-options.ts'
import { type Ink, inkOfResult, tame } from './terminal.ts'
import type { SoftRequest } from './worker.ts'
import {
  checkTargets,
  hand,
  inputOf,
  refuse,
  runInWorker,
  settingsOfWord,
  type WorkerVerbOptions,
} from './worker-verb.ts'
import { writeWhole } from './write-file.ts'

export interface SoftOptions extends WorkerVerbOptions, SettingOptions {
  readonly at?: string
}

const HEAD = ['', 'laid on', 'soft again', 'layers', 'soft already', 'layer', 'nozzle']

const seriesText = ({ name, unit, points, says }: SoftSeries, ink: Ink): string[] => {
  const rows = points.map((p) => [
    `${p.value} ${unit}`,
    `${p.landingC.toFixed(0)} °C`,
    `${p.softDepthMm.toFixed(2)} mm`,
    p.softDepthLayers.toFixed(1),
    `${p.standingMm.toFixed(2)} mm`,
    `${p.layerS.toFixed(1)} s`,
    `+${Math.round(100 * p.nozzleShare)} %`,
  ])
  const widths = HEAD.map((word, i) => Math.max(word.length, ...rows.map((row) => row[i].length)))
  const lineOf = (cells: readonly string[]): string => cells.map((cell, i) => cell.padStart(widths[i])).join('  ')
  return [ink.strong(name), lineOf(HEAD), ...rows.map(lineOf), ...wrap(says), '']
}

const softText = (name: string, answer: SoftAnswer, ink: Ink): string => {
  const { fromMm, toMm, widthMm, softFromC, softToC } = answer
  const lines = [
    ink.strong(`What softens again on ${tame(name)}`),
    ...wrap(
      `${fromMm.toFixed(1)} to ${toMm.toFixed(1)} mm up, ${widthMm.toFixed(1)} mm wide; plastic softens from ${softFromC} to ${softToC} °C. Each row is a run of its own over a few millimetres of height, started from the whole run.`,
    ),
    '',
    ...answer.series.flatMap((series) => seriesText(series, ink)),
    ...wrap(
      'laid on: plastic just under the nozzle. soft again: depth that the pass softens or finds soft. soft already: depth still soft when the nozzle comes back. nozzle: its heat beside that of the beads, through them and through gap air.',
    ),
  ]
  return `${lines.join('\n')}\n`
}

/** Runs the verb. */
export const softVerb = async (word: string, options: SoftOptions, around: Surroundings): Promise<ExitCode> => {
  const settings = settingsOfWord(word, options, around)
  const at = options.at === undefined ? undefined : numberIn('--at', options.at, { least: 0, most: 1000 }, 'mm')
  checkTargets([options.out, options.svg], options.force ?? false)
  const input = await inputOf(word, around)
  const request: SoftRequest = {
    bytes: input.bytes,
    name: input.name,
    settings,
    question: at === undefined ? {} : { atMm: at },
  }
  const outcome = await runInWorker<SoftAnswer>('soft', request, input.name, options, around)
  if (!outcome.ok) return refuse(input.name, outcome.issues, options)
  const answer = outcome.value
  const ink = inkOfResult(options)
  const json = (): string =>
    `${JSON.stringify({ form: 'fettle-soft', version: 1, toolVersion: around.version, fileName: input.name, answer: plain(answer) })}\n`
  await hand(options.json ? json() : softText(input.name, answer, ink), options)
  if (options.svg !== undefined)
    await writeWhole(options.svg, softSvg(answer.series, `What softens again on ${input.name}`), options.force ?? false)
  return EXIT.fine
}
