// Reads a print file piece by piece, from disk or standard input, so that a big one never stands in memory as a whole.

import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { stat } from 'node:fs/promises'
import { basename } from 'node:path'
import { Cancelled, type Outcome } from '../engine/kernel/index.ts'
import { type CodeReading, createCodeReader } from '../engine/motioncode/index.ts'
import { CommandTrouble, EXIT } from './exit-codes.ts'
import type { Progress } from './progress.ts'

/** A reading with the name to show and the hash of the bytes it came from. */
export interface CodeInput {
  readonly name: string
  readonly sha256: string
  readonly outcome: Outcome<CodeReading>
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  EACCES: 'it may not be read',
  EISDIR: 'it is a folder; name one file',
}
const PIECE_BYTES = 1 << 20

/** Reads to the end. Throws CommandTrouble when the file cannot be opened, Cancelled when stopped. */
export const readCodeFile = async (
  word: string,
  dwellUnit: 's' | 'ms' | null,
  signal: AbortSignal,
  progress: Progress,
): Promise<CodeInput> => {
  const name = word === '-' ? 'standard input' : basename(word)
  const reader = createCodeReader({ dwellUnit })
  const hash = createHash('sha256')
  try {
    const size = word === '-' ? 0 : (await stat(word)).size
    const pieces = word === '-' ? process.stdin : createReadStream(word, { highWaterMark: PIECE_BYTES })
    const stop = () => pieces.destroy(new Cancelled())
    if (signal.aborted) throw new Cancelled()
    signal.addEventListener('abort', stop, { once: true })
    let nRead = 0
    for await (const piece of pieces as AsyncIterable<Buffer>) {
      hash.update(piece)
      reader.push(piece)
      nRead += piece.length
      progress.tell(size > 0 ? (0.4 * nRead) / size : 0.2, 'reading the words')
    }
    signal.removeEventListener('abort', stop)
  } catch (error) {
    if (error instanceof Cancelled) throw error
    const { code = '', message } = error as NodeJS.ErrnoException
    throw new CommandTrouble(REASONS[code] ?? message, EXIT.unreadable)
  }
  return { name, sha256: hash.digest('hex'), outcome: reader.finish() }
}

/** Buffers of a reading, to be handed to a worker without a copy. */
export const buffersOf = ({ moves, events }: CodeReading): ArrayBuffer[] =>
  [...Object.values(moves), ...Object.values(events)].flatMap((column) =>
    ArrayBuffer.isView(column) ? [column.buffer as ArrayBuffer] : [],
  )
