// Where a figure comes from: a file, standard input, or the built-in crew.

import { existsSync } from 'node:fs'
import { readFile, stat } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { CREW } from '../../demo/crew.ts'
import { CommandTrouble, EXIT } from './exit-codes.ts'

/** A file's bytes and the name to show. */
export interface Input {
  readonly name: string
  readonly bytes: Uint8Array<ArrayBuffer>
}

const PREFIX = 'crew:'
/** Larger files are refused before they are read into memory. */
const MOST_BYTES = 1_500_000_000

/** A built-in figure under its name on the command line. */
export interface CrewFigure {
  readonly word: string
  readonly name: string
  readonly story: string
  readonly path: string
  /** Height of the eye line above the soles, mm. */
  readonly soleToEyeMm: number
}

/** The built-in figures whose files have been made. */
export const crewFigures = (folder: string): readonly CrewFigure[] =>
  CREW.map(({ id, file, ...known }) => ({ ...known, word: PREFIX + id, path: join(folder, file) })).filter(({ path }) =>
    existsSync(path),
  )

/** Said where the crew is wanted and has not been made. */
export const NO_CREW = new CommandTrouble(
  'the crew has not been made yet; run "npm run build" in the folder of fettle',
  EXIT.unreadable,
)

const crewFile = (word: string, folder: string): string => {
  const crew = crewFigures(folder)
  if (crew.length === 0) throw NO_CREW
  const found = crew.find((figure) => figure.word === word)
  if (found) return found.path
  const words = crew.map((figure) => figure.word).join(', ')
  throw new CommandTrouble(`there is no such built-in figure; there are ${words}`, EXIT.unreadable)
}

const standardInput = async (): Promise<Uint8Array<ArrayBuffer>> => {
  const parts: Buffer[] = []
  for await (const part of process.stdin) parts.push(part as Buffer)
  return new Uint8Array(Buffer.concat(parts))
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  EACCES: 'it may not be read',
  EISDIR: 'it is a folder; name the files in it',
}

/** Reads one FILE of the command line. Throws CommandTrouble with a sentence when it cannot be read. */
export const readInput = async (word: string, crewFolder: string): Promise<Input> => {
  if (word === '-') return { name: 'standard input', bytes: await standardInput() }
  const path = word.startsWith(PREFIX) ? crewFile(word, crewFolder) : word
  try {
    const { size } = await stat(path)
    if (size > MOST_BYTES) throw new CommandTrouble(`it has ${size} bytes; ${MOST_BYTES} are the most`, EXIT.unreadable)
    return { name: basename(path), bytes: new Uint8Array(await readFile(path)) }
  } catch (error) {
    if (error instanceof CommandTrouble) throw error
    const { code = '', message } = error as NodeJS.ErrnoException
    throw new CommandTrouble(REASONS[code] ?? message, EXIT.unreadable)
  }
}
