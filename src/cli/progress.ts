// Progress on standard error: a bar on a terminal, plain lines with --verbose, nothing otherwise.

import { Presets, SingleBar } from 'cli-progress'

/** Hears of steps; `end` clears the line. */
export interface Progress {
  readonly tell: (share: number, doing: string) => void
  readonly end: () => void
}

const SILENT: Progress = { tell: () => undefined, end: () => undefined }

const lines = (name: string): Progress => {
  let last = ''
  return {
    tell: (_share, doing) => {
      if (doing !== last) process.stderr.write(`${name}: ${doing}\n`)
      last = doing
    },
    end: () => undefined,
  }
}

const bar = (name: string): Progress => {
  const single = new SingleBar(
    {
      format: `${name} {bar} {percentage} % {doing}`,
      stream: process.stderr,
      barsize: 24,
      hideCursor: true,
      clearOnComplete: true,
      linewrap: false,
    },
    Presets.shades_classic,
  )
  single.start(1, 0, { doing: 'reading' })
  return { tell: (share, doing) => single.update(share, { doing }), end: () => single.stop() }
}

/** Progress for one file. */
export const progressFor = (name: string, options: { quiet: boolean; verbose: boolean }): Progress => {
  if (options.quiet) return SILENT
  if (options.verbose) return lines(name)
  return process.stderr.isTTY ? bar(name) : SILENT
}
