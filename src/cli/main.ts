// Entry of the command: finds its surroundings, hears Ctrl-C, runs the verb, turns trouble into exit codes.

import { fileURLToPath } from 'node:url'
import { version } from '../../package.json'
import { Cancelled } from '../engine/kernel/index.ts'
import type { AdviseOptions } from './advise-verb.ts'
import type { CarryOptions } from './carry-verb.ts'
import type { CodeVerbOptions } from './code-verb.ts'
import type { DropOptions } from './drop-verb.ts'
import type { ExamineOptions } from './examine-verb.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import type { GuideOptions } from './guide-verb.ts'
import type { NotebookOptions } from './notebook-verb.ts'
import { completionVerb, crewVerb, helpVerb, manualVerb, serveVerb } from './other-verbs.ts'
import { parseAndRun, troubleText } from './parse.ts'
import type { Surroundings } from './places.ts'
import type { SoftOptions } from './soft-verb.ts'
import type { StancesOptions } from './stances-verb.ts'
import type { SweepOptions } from './sweep-verb.ts'
import type { TrayVerbOptions } from './tray-verb.ts'

const stop = new AbortController()

// The first Ctrl-C stops workers and lets half-written files be taken away; the second does not wait.
const interrupt = () => {
  if (stop.signal.aborted) process.exit(EXIT.interrupted)
  stop.abort()
}
process.on('SIGINT', interrupt)
process.on('SIGTERM', interrupt)

// "fettle ... | head" closes the pipe early: that is no fault of anybody.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(EXIT.fine)
  throw error
})

// The entry stays in the top folder of the build, whatever parts the rest is split into.
const besides = (path: string): string => fileURLToPath(new URL(path, import.meta.url))
const around: Surroundings = {
  version,
  workerPath: besides('./worker.mjs'),
  crewFolder: besides('../crew'),
  benchFolder: besides('../bench'),
  signal: stop.signal,
}

const run = async (): Promise<ExitCode> => {
  try {
    const code = await parseAndRun(process.argv.slice(2), around.version, {
      // Loaded only when asked for: help need not wait for the sheet and its pictures.
      examine: async (words, options) =>
        (await import('./examine-verb.ts')).examineVerb(words, options as ExamineOptions, around),
      code: async ([word], options) =>
        (await import('./code-verb.ts')).codeVerb(word, options as CodeVerbOptions, around),
      recipe: async (words, options) => (await import('./recipe-verb.ts')).recipeVerb(words, options),
      carry: async ([word], options) =>
        (await import('./carry-verb.ts')).carryVerb(word, options as CarryOptions, around),
      plan: async (words, options) => (await import('./plan-verb.ts')).planVerb(words, options, around),
      coupon: async (words, options) => (await import('./coupon-verb.ts')).couponVerb(words, options, around),
      record: async (words, options) => (await import('./record-verb.ts')).recordVerb(words, options, around),
      diagnose: async (words, options) => (await import('./diagnose-verb.ts')).diagnoseVerb(words, options, around),
      sweep: async (words, options) =>
        (await import('./sweep-verb.ts')).sweepVerb(words, options as SweepOptions, around),
      advise: async ([word], options) =>
        (await import('./advise-verb.ts')).adviseVerb(word, options as AdviseOptions, around),
      drop: async ([word], options) => (await import('./drop-verb.ts')).dropVerb(word, options as DropOptions, around),
      soft: async ([word], options) => (await import('./soft-verb.ts')).softVerb(word, options as SoftOptions, around),
      stances: async ([word], options) =>
        (await import('./stances-verb.ts')).stancesVerb(word, options as StancesOptions, around),
      tray: async (words, options) =>
        (await import('./tray-verb.ts')).trayVerb(words, options as TrayVerbOptions, around),
      notebook: async (words, options) =>
        (await import('./notebook-verb.ts')).notebookVerb(words, options as NotebookOptions, around),
      guide: async (words, options) =>
        (await import('./guide-verb.ts')).guideVerb(words, options as GuideOptions, around),
      crew: async (_words, options) => crewVerb(options, around),
      serve: (_words, options) => serveVerb(options, around),
      help: async ([verb]) => helpVerb(verb),
      manual: async ([verb]) => manualVerb(verb),
      completion: async ([shell]) => completionVerb(shell, around),
    })
    return stop.signal.aborted ? EXIT.interrupted : code
  } catch (error) {
    if (error instanceof Cancelled || stop.signal.aborted) {
      process.stderr.write('fettle: stopped\n')
      return EXIT.interrupted
    }
    if (error instanceof CommandTrouble) {
      process.stderr.write(troubleText(error))
      return error.code
    }
    process.stderr.write(`fettle: a fault in fettle itself: ${error instanceof Error ? error.stack : String(error)}\n`)
    return EXIT.internal
  }
}

process.exitCode = await run()
