// The file of a sweep: one JSON line a pair, appended as pairs are done, read again to go on after a stop.

import { closeSync, existsSync, fsyncSync, openSync, readFileSync, statSync, truncateSync, writeSync } from 'node:fs'
import { mkdir } from 'node:fs/promises'
import { dirname } from 'node:path'
import type { Issue } from '../engine/kernel/index.ts'
import { CommandTrouble, EXIT } from './exit-codes.ts'
import type { TrialReport } from './trial-work.ts'

/** One pair of figure and recipe. */
export interface SweepLine {
  readonly form: 'fettle-sweep-line'
  readonly version: 1
  /** SHA-256 over version of fettle, contents of the figure and all settings. */
  readonly key: string
  readonly toolVersion: string
  readonly fileName: string
  readonly fileSha256: string
  readonly recipeName: string
  readonly recipeSha256: string
  /** Null where the pair could not be examined; the issues say why. */
  readonly report: TrialReport | null
  readonly issues: readonly Issue[]
}

/** Larger files are not a sweep's. */
const MOST_BYTES = 1_000_000_000

const isLine = (value: unknown): value is SweepLine => {
  const line = value as Partial<SweepLine> | null
  return (
    typeof line === 'object' &&
    line !== null &&
    line.form === 'fettle-sweep-line' &&
    typeof line.key === 'string' &&
    typeof line.fileName === 'string' &&
    (line.report === null || typeof line.report?.numbers === 'object')
  )
}

const parsed = (text: string): unknown => {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}

/** What a file holds: its lines, and how many bytes of it are whole lines. */
export interface ReadJournal {
  readonly lines: readonly SweepLine[]
  readonly wholeBytes: number
}

/**
 * Reads the lines of a sweep. A last line without its end, or cut short, is not counted.
 * @throws CommandTrouble that names the first line which no sweep has written
 */
export const readJournal = (bytes: Uint8Array, path: string): ReadJournal => {
  const lines: SweepLine[] = []
  const decoder = new TextDecoder()
  let at = 0
  let number = 0
  while (at < bytes.length) {
    const end = bytes.indexOf(10, at)
    if (end < 0) break
    number++
    const text = decoder.decode(bytes.subarray(at, end))
    const value = parsed(text)
    if (!isLine(value)) {
      // A machine that lost its power may leave zeros or half a line, with an end behind it, but only as the last one.
      if (end === bytes.length - 1 && value === undefined && lines.length > 0) return { lines, wholeBytes: at }
      throw new CommandTrouble(
        `${path}: line ${number} was not written by a sweep; name another file, or give --force to overwrite this one`,
        EXIT.usage,
      )
    }
    if (value.version > 1)
      throw new CommandTrouble(`${path}: line ${number} is of version ${value.version}; this program reads version 1`)
    lines.push(value)
    at = end + 1
  }
  if (lines.length === 0 && bytes.length > 0) {
    const text = decoder.decode(bytes.subarray(0, 200))
    if (!'{"form":"fettle-sweep-line"'.startsWith(text.slice(0, 27)) && !text.startsWith('{"form":"fettle-sweep-line"'))
      throw new CommandTrouble(
        `${path}: it was not written by a sweep; name another file, or give --force to overwrite it`,
        EXIT.usage,
      )
  }
  return { lines, wholeBytes: at }
}

/** An open journal. */
export interface Journal {
  readonly known: readonly SweepLine[]
  /** Writes a line and waits until it is on the disk. */
  readonly add: (line: SweepLine) => void
  readonly close: () => void
}

/** Opens or makes a journal; null path keeps nothing. Throws CommandTrouble for a file that is not a sweep's. */
export const openJournal = async (path: string | undefined, anew: boolean): Promise<Journal> => {
  if (path === undefined) return { known: [], add: () => undefined, close: () => undefined }
  let known: readonly SweepLine[] = []
  let file: number
  try {
    await mkdir(dirname(path), { recursive: true })
    if (!anew && existsSync(path)) {
      const { size } = statSync(path)
      if (size > MOST_BYTES) throw new CommandTrouble(`${path}: it has ${size} bytes; ${MOST_BYTES} are the most`)
      const { lines, wholeBytes } = readJournal(readFileSync(path), path)
      if (wholeBytes < size) truncateSync(path, wholeBytes)
      known = lines
    }
    file = openSync(path, anew ? 'w' : 'a')
  } catch (error) {
    if (error instanceof CommandTrouble) throw error
    throw new CommandTrouble(`${path}: ${(error as Error).message}`, EXIT.unreadable)
  }
  return {
    known,
    add: (line) => {
      writeSync(file, `${JSON.stringify(line)}\n`)
      fsyncSync(file)
    },
    close: () => closeSync(file),
  }
}
