// The verb "drop": asks the worker, tells shares, first breaks and the worst falls.

import type { DropByModes, DropFloor, ModalAttitude } from '../engine/strength/index.ts'
import { plain } from '../guide/index.ts'
import { EXIT, type ExitCode } from './exit-codes.ts'
import { wrap } from './help.ts'
import type { Surroundings } from './places.ts'
import { numberIn, type SettingOptions } from './settings-from-options.ts'
import { type Ink, inkOfResult, tame } from './terminal.ts'
import type { DropRequest } from './worker.ts'
import {
  checkTargets,
  hand,
  inputOf,
  refuse,
  runInWorker,
  settingsOfWord,
  type WorkerVerbOptions,
} from './worker-verb.ts'

export interface DropOptions extends WorkerVerbOptions, SettingOptions {
  readonly from?: string
  readonly floor?: DropFloor
  readonly attitudes?: string
  readonly coarse?: boolean
}

/** Worst falls that are told one by one. */
const MOST_TOLD = 5

const KINDS: Readonly<Record<ModalAttitude['kind'], string>> = {
  even: 'in the air',
  rest: 'from a pose of rest',
  tip: 'falling over from standing',
}
const percent = (share: number): string => `${Math.round(100 * share)} %`

const fallText = (fall: ModalAttitude): string => {
  const finer = fall.fine ? `; on finer cells ${percent(fall.fine.use)}` : ''
  return `lands at ${fall.contact.map((v) => v.toFixed(1)).join(', ')} mm ${KINDS[fall.kind]}: ${percent(fall.use)} of the strength${finer}, ${fall.at[2].toFixed(1)} mm up, ${fall.gives}, ${fall.timeMs.toFixed(2)} ms after it touches; push up to ${fall.greatestForceN.toFixed(0)} N for ${fall.contactMs.toFixed(2)} ms`
}

const dropText = (name: string, drop: DropByModes, ink: Ink): string => {
  const { survived } = drop
  const worst = [...drop.attitudes].sort((a, b) => b.use - a.use).slice(0, MOST_TOLD)
  const even = drop.attitudes.filter(({ kind }) => kind === 'even').length
  const tips = drop.attitudes.filter(({ kind }) => kind === 'tip')
  const lines = [
    ink.strong(`${tame(name)} falls ${drop.heightM} m on ${drop.floor}`),
    ...wrap(
      `It survives ${percent(survived.value)} of ${even} attitudes (${percent(survived.low)} to ${percent(survived.high)} with the scatter of strength); ${drop.massG.toFixed(2)} g, ${drop.energyMJ.toFixed(1)} mJ, lowest vibration ${drop.hz[0]?.toFixed(0) ?? '–'} Hz.`,
    ),
    '',
    ink.strong('Where it breaks first'),
    ...drop.first
      .slice(0, MOST_TOLD)
      .flatMap(({ at, share }) =>
        wrap(`${percent(share)} at ${at[2].toFixed(1)} mm up; x ${at[0].toFixed(1)}, y ${at[1].toFixed(1)} mm`, 2),
      ),
    ...(drop.first.length === 0 ? wrap('Nowhere.', 2) : []),
    '',
    ink.strong('Worst falls'),
    ...worst.flatMap((fall) => wrap(fallText(fall), 2)),
    ...(tips.length > 0
      ? [
          '',
          ...wrap(
            `Falling over from standing uses at most ${percent(Math.max(...tips.map(({ use }) => use)))} of the strength.`,
          ),
        ]
      : []),
    '',
    ...drop.basis.flatMap((words) => wrap(words)),
  ]
  return `${lines.join('\n')}\n`
}

/** Runs the verb. */
export const dropVerb = async (word: string, options: DropOptions, around: Surroundings): Promise<ExitCode> => {
  const settings = settingsOfWord(word, options, around)
  const heightM = options.from === undefined ? 1 : numberIn('--from', options.from, { least: 0.05, most: 5 }, 'm')
  const nAttitudes =
    options.attitudes === undefined
      ? 64
      : numberIn('--attitudes', options.attitudes, { least: 4, most: 512, whole: true }, '')
  checkTargets([options.out], options.force ?? false)
  const input = await inputOf(word, around)
  const request: DropRequest = {
    bytes: input.bytes,
    name: input.name,
    settings,
    options: {
      heightM,
      nAttitudes,
      floor: options.floor ?? 'stone',
      ...(options.coarse ? { fineCellMm: 0, nChecked: 0 } : {}),
    },
  }
  const outcome = await runInWorker<DropByModes>('drop', request, input.name, options, around)
  if (!outcome.ok) return refuse(input.name, outcome.issues, options)
  const ink = inkOfResult(options)
  const json = (): string =>
    `${JSON.stringify({ form: 'fettle-drop', version: 1, toolVersion: around.version, fileName: input.name, drop: plain(outcome.value) })}\n`
  await hand(options.json ? json() : dropText(input.name, outcome.value, ink), options)
  return EXIT.fine
}
