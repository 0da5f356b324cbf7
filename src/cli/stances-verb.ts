// The verb "stances": searches in a worker, tells the few best in words, draws them when asked for.

import type { StanceLook, StanceReport } from '../engine/stances/index.ts'
import { plain } from '../guide/index.ts'
import { stanceGallerySvg } from '../picture/index.ts'
import { EXIT, type ExitCode } from './exit-codes.ts'
import { wrap } from './help.ts'
import type { Surroundings } from './places.ts'
import { numberIn, type SettingOptions } from './settings-from-options.ts'
import { sha256 } from './sha256.ts'
import type { StancesRequest } from './squad-work.ts'
import { type Ink, inkOfResult, tame } from './terminal.ts'
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

export interface StancesOptions extends WorkerVerbOptions, SettingOptions {
  readonly most?: string
  readonly directions?: string
}

const degrees = (look: StanceLook): string =>
  [look.stance.aboutX, look.stance.aboutY, look.stance.aboutZ]
    .map((angle) => (Math.round((angle * 1800) / Math.PI) / 10 + 0).toString())
    .join(',')

const numbers = (look: StanceLook): string =>
  [
    `${look.minutes.toFixed(0)} min`,
    `${look.massG.toFixed(2)} g`,
    `${look.heightMm.toFixed(1)} mm tall`,
    Number.isNaN(look.leastForceN) ? 'no limb to break' : `breaks at ${look.leastForceN.toFixed(2)} N`,
    `${look.undersideMm2.toFixed(0)} mm2 over air`,
    Number.isNaN(look.headStepUm) ? null : `head steps ${look.headStepUm.toFixed(0)} um`,
    `${look.contactMm2.toFixed(0)} mm2 on the bed`,
    `${look.nSoftLayers} of ${look.nLayers} layers on soft plastic`,
  ]
    .filter((part) => part !== null)
    .join(' · ')

const lookText = (look: StanceLook, number: number, ink: Ink): string[] => [
  ink.strong(`${number}. ${look.attitude}`) + ink.faint(`  --stance ${degrees(look)}`),
  ...wrap(numbers(look), 3),
  ...look.gains.flatMap((gain) => wrap(`+ ${gain}`, 3)),
  ...look.givesUp.flatMap((loss) => wrap(`- ${loss}`, 3)),
  ...(look.unbeaten ? [] : wrap('another of these is as good in everything and better in something', 3)),
  '',
]

const stancesText = (report: StanceReport, ink: Ink): string => {
  const lines = [ink.strong(`Stances of ${tame(report.name)}`), '']
  report.looks.forEach((look, i) => {
    lines.push(...lookText(look, i + 1, ink))
  })
  lines.push(ink.strong('Cut and glue'))
  if (report.cut) for (const words of report.cut.words) lines.push(...wrap(words, 3))
  else lines.push(...wrap(report.noCut ?? 'Not asked for.', 3))
  lines.push('', ...report.basis.flatMap((basis) => wrap(basis)))
  return `${lines.join('\n')}\n`
}

/** The report as data: the measures of all stances by column, the looks without their pictures. */
const stancesJson = (report: StanceReport, source: object): string => {
  const { looks, ...rest } = report
  const bare = looks.map(({ picture: _picture, ...look }) => look)
  return `${JSON.stringify({ form: 'fettle-stances', version: 1, source, report: plain({ ...rest, looks: bare }) })}\n`
}

/** Runs the verb. */
export const stancesVerb = async (word: string, options: StancesOptions, around: Surroundings): Promise<ExitCode> => {
  const settings = settingsOfWord(word, options, around)
  const most = options.most === undefined ? 4 : numberIn('--most', options.most, { least: 0, most: 8, whole: true }, '')
  const nSphere =
    options.directions === undefined
      ? 1800
      : numberIn('--directions', options.directions, { least: 100, most: 20000, whole: true }, '')
  checkTargets([options.out, options.svg], options.force ?? false)
  const input = await inputOf(word, around)
  const request: StancesRequest = { bytes: input.bytes, name: input.name, settings, options: { most, nSphere } }
  const outcome = await runInWorker<StanceReport>('stances', request, input.name, options, around)
  if (!outcome.ok) return refuse(input.name, outcome.issues, options)
  const report = outcome.value
  const ink = inkOfResult(options)
  const source = {
    toolVersion: around.version,
    fileName: input.name,
    fileSha256: sha256(input.bytes),
    settingsSha256: sha256(JSON.stringify(settings)),
  }
  await hand(options.json ? stancesJson(report, source) : stancesText(report, ink), options)
  if (options.svg !== undefined) {
    const pictures = report.looks.map((look, i) => ({
      stack: look.picture,
      heightMm: look.heightMm,
      title: `${i + 1}`,
      words: `${look.attitude}, ${look.minutes.toFixed(0)} min`,
    }))
    await writeWhole(options.svg, stanceGallerySvg(pictures, `Stances of ${report.name}`), options.force ?? false)
  }
  return EXIT.fine
}
