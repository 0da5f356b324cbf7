// The verb "guide": publishes a figure's recipe as a page, prints it, writes a hand-out, opens a published page again.

import { existsSync } from 'node:fs'
import { recipeInForce } from '../engine/examine/index.ts'
import {
  EMPTY_ABOUT,
  GUIDE_LIMITS,
  type GuideContent,
  handOutHtml,
  type Published,
  publishHtml,
  readPublished,
} from '../guide/index.ts'
import { nodePool } from '../pool/node.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import { aboutFrom, carriedFrom, guideTrialsFrom, photosFrom } from './guide-input.ts'
import { placeOf } from './issue-words.ts'
import type { Surroundings } from './places.ts'
import { printerOrTrouble, printPdf } from './print-pdf.ts'
import { progressFor } from './progress.ts'
import { formTrouble, textOfFile } from './read-form.ts'
import { crewFigures, readInput } from './read-input.ts'
import { type CardOptions, settingsForCrew, settingsFrom } from './settings-from-options.ts'
import { sha256 } from './sha256.ts'
import { tame } from './terminal.ts'
import type { PAPERS } from './verbs/guide.ts'
import type { ExamineAnswer, ExamineRequest } from './worker.ts'
import { overwriteTrouble, writeWhole } from './write-file.ts'

export interface GuideOptions extends CardOptions {
  readonly about?: string
  readonly scaleHeight?: string
  readonly stance?: string
  readonly trials?: string
  readonly carried?: string
  readonly withSculpt?: boolean
  readonly paper?: (typeof PAPERS)[number]
  readonly out?: string
  readonly pdf?: string
  readonly handOut?: string
  readonly printerOut?: string
  readonly filamentOut?: string
  readonly json?: boolean
  readonly force?: boolean
  readonly quiet?: boolean
  readonly verbose?: boolean
}

const checkTargets = (options: GuideOptions): void => {
  const targets = [options.out, options.pdf, options.handOut, options.printerOut, options.filamentOut].filter(
    (path): path is string => path !== undefined,
  )
  const twice = targets.find((path, i) => targets.indexOf(path) !== i)
  if (twice !== undefined) throw new CommandTrouble(`two results would be written to ${twice}`)
  const there = options.force ? undefined : targets.find((path) => existsSync(path))
  if (there !== undefined) throw overwriteTrouble(there)
}

const given = async (text: string, { out, force }: GuideOptions): Promise<void> => {
  if (out === undefined) process.stdout.write(text)
  else await writeWhole(out, text, force ?? false)
}

const openedText = (page: string, { recipe, title, version, date, author, printer, filament }: Published): string =>
  [
    `${page}: "${title}", version ${version}, ${date}, by ${author}`,
    `  recipe: ${recipe.name}`,
    `  for: ${printer.name}, ${filament.name}`,
    '  write it with -o FILE; the cards with --printer-out and --filament-out',
  ].join('\n')

/** Takes recipe and cards out of a published page. */
const openGuide = async (path: string, options: GuideOptions): Promise<ExitCode> => {
  const read = readPublished(textOfFile('guide', path))
  if (!read.ok) throw formTrouble('guide', path, read.issues)
  const { recipe, printer, filament } = read.value
  const force = options.force ?? false
  const form = (value: unknown) => `${JSON.stringify(value, null, 2)}\n`
  if (options.printerOut !== undefined) await writeWhole(options.printerOut, form(printer), force)
  if (options.filamentOut !== undefined) await writeWhole(options.filamentOut, form(filament), force)
  if (options.json) await given(form({ form: 'fettle-guide-opened', ...read.value }), options)
  else if (options.out !== undefined) await given(form(recipe), options)
  else process.stdout.write(`${tame(openedText(path, read.value))}\n`)
  return EXIT.fine
}

/** Examines the figure and gathers all that the page tells. */
const contentOf = async (word: string, options: GuideOptions, around: Surroundings): Promise<GuideContent> => {
  const about = aboutFrom(options.about)
  const photos = photosFrom(options.about ?? '', about)
  const trials = await guideTrialsFrom(options.trials)
  const carried = carriedFrom(options.carried)
  if (options.withSculpt && !about.sculpt.mayBeGivenAway)
    throw new CommandTrouble('--with-sculpt: the form says that the sculpt may not be given away (mayBeGivenAway)')
  const asked = settingsFrom(options)
  const crew = crewFigures(around.crewFolder).find((figure) => figure.word === word)
  const settings = crew ? settingsForCrew(asked, options, crew.soleToEyeMm) : asked
  const { name, bytes } = await readInput(word, around.crewFolder).catch((error: unknown) => {
    throw error instanceof CommandTrouble ? new CommandTrouble(`${word}: ${error.message}`, error.code) : error
  })
  if (options.withSculpt && bytes.length > GUIDE_LIMITS.sculptBytes)
    throw new CommandTrouble(
      `--with-sculpt: the file has ${bytes.length} bytes; a page takes up to ${GUIDE_LIMITS.sculptBytes}`,
    )
  const progress = progressFor(tame(name), { quiet: options.quiet ?? false, verbose: options.verbose ?? false })
  const pool = nodePool(around.workerPath)
  try {
    const request: ExamineRequest = { bytes, name, settings }
    // The bytes are copied to the worker, not moved: the page may need them.
    const answer = await pool.run<ExamineAnswer>('examine', request, {
      signal: around.signal,
      onProgress: progress.tell,
    })
    if (!answer.examination.ok)
      throw new CommandTrouble(
        answer.examination.issues.map((issue) => tame(`${name}: ${issue.message}${placeOf(issue)}`)).join('\n'),
        EXIT.unreadable,
      )
    const { summary, layers, findings, figure } = answer.examination.value
    const { filament, printer } = settings
    return {
      about,
      recipe: recipeInForce(settings),
      printer,
      filament,
      examination: { summary, layers, findings, topMm: figure.max[2] },
      source: {
        toolVersion: around.version,
        fileName: name,
        fileSha256: sha256(bytes),
        settingsSha256: sha256(JSON.stringify(settings)),
      },
      trials,
      carried,
      photos,
      sculpt: options.withSculpt ? { name, bytes } : null,
      paper: options.paper ?? null,
    }
  } finally {
    progress.end()
    await pool.close(true)
  }
}

const wrongUse = (): CommandTrouble => new CommandTrouble('guide takes: FILE with --about, about, or open PAGE')

/** Runs the verb; the words are those behind it. */
export const guideVerb = async (
  words: readonly string[],
  options: GuideOptions,
  around: Surroundings,
): Promise<ExitCode> => {
  checkTargets(options)
  const [what, page] = words
  if (what === 'open' && words.length === 2) return openGuide(page, options)
  if (words.length !== 1 || what === 'open') throw wrongUse()
  if (what === 'about') {
    await given(`${JSON.stringify(EMPTY_ABOUT, null, 2)}\n`, options)
    return EXIT.fine
  }
  const browser = options.pdf === undefined ? null : printerOrTrouble()
  const content = await contentOf(what, options, around)
  const html = publishHtml(content)
  const force = options.force ?? false
  const pdf = browser === null ? null : await printPdf(html, browser, around.signal)
  if (options.handOut !== undefined) await writeWhole(options.handOut, handOutHtml(content), force)
  if (options.pdf !== undefined && pdf !== null) await writeWhole(options.pdf, pdf, force)
  await given(html, options)
  return EXIT.fine
}
