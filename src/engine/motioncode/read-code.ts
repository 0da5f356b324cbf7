// The streaming reader of motion code: bytes in pieces of any size, moves out at the end. Nothing in a file is executed.

import { failed, good, type Issue, type Outcome } from '../kernel/index.ts'
import { CodeMachine } from './code-machine.ts'
import { LineWords } from './line-words.ts'
import { CODE_DEFAULTS, type CodeOptions, type CodeReading, type NotFollowed } from './types.ts'
import { NOT_FOLLOWED } from './word-book.ts'

/** A line longer than this is malformed; the standard allows 256, desktop files carry pictures in comments. */
const LONGEST_LINE = 16_384
const MOST_ISSUES = 200

/** Reads motion code as it arrives. */
export interface CodeReader {
  /** Takes the next bytes; they may end anywhere, and may be reused afterwards. */
  readonly push: (chunk: Uint8Array) => void
  /** No more bytes: everything that was read. */
  readonly finish: () => Outcome<CodeReading>
}

/** Begins a reading. */
export const createCodeReader = (options: Partial<CodeOptions> = {}): CodeReader => {
  const machine = new CodeMachine({ ...CODE_DEFAULTS, ...options })
  const words = new LineWords()
  const malformed: Issue[] = []
  let nMalformed = 0
  let nBytes = 0
  let nLines = 0
  let nWords = 0
  let nMarked = 0
  let nAfterEnd = 0
  let carry = new Uint8Array(1024)
  let nCarry = 0
  let overlong = false
  let lastWasReturn = false

  const complain = (fault: string, column: number): void => {
    nMalformed++
    if (malformed.length < MOST_ISSUES)
      malformed.push({
        code: 'motioncode/malformed-line',
        message: `Line ${nLines}, column ${column}: ${fault}. The line was not carried out.`,
        place: { line: nLines, column },
      })
  }
  const line = (bytes: Uint8Array, from: number, end: number): void => {
    nLines++
    if (from === end) return
    if (machine.endLine > 0 || machine.full) {
      nAfterEnd++
      return
    }
    const fine = words.read(bytes, from, end)
    nWords += words.nWords
    if (!fine) {
      if (!machine.noteStranger(words, nLines)) complain(words.fault, words.faultAt + 1)
      return
    }
    if (words.nWords === 0) return
    if (words.marked) {
      nMarked++
      if (machine.options.skipMarked) return
    }
    const fault = machine.carryOut(words, nLines)
    if (fault !== '') complain(fault, words.bare !== 0 ? words.bareAt + 1 : 1)
  }
  const keep = (bytes: Uint8Array, from: number, end: number): void => {
    if (nCarry + end - from > LONGEST_LINE) {
      overlong = true
      return
    }
    if (nCarry + end - from > carry.length) {
      const more = new Uint8Array(LONGEST_LINE)
      more.set(carry.subarray(0, nCarry))
      carry = more
    }
    carry.set(bytes.subarray(from, end), nCarry)
    nCarry += end - from
  }
  const endCarried = (): void => {
    if (overlong) {
      nLines++
      complain(`the line is longer than ${LONGEST_LINE} bytes`, LONGEST_LINE + 1)
    } else line(carry, 0, nCarry)
    nCarry = 0
    overlong = false
  }

  const push = (chunk: Uint8Array): void => {
    let i = 0
    const end = chunk.length
    if (nBytes === 0 && end >= 3 && chunk[0] === 0xef && chunk[1] === 0xbb && chunk[2] === 0xbf) i = 3
    nBytes += end
    if (lastWasReturn && i < end && chunk[i] === 10) i++
    if (end > 0) lastWasReturn = false
    while (i < end) {
      let j = i
      while (j < end && chunk[j] !== 10 && chunk[j] !== 13) j++
      if (j === end) {
        keep(chunk, i, end)
        return
      }
      if (nCarry > 0 || overlong) {
        keep(chunk, i, j)
        endCarried()
      } else if (j - i > LONGEST_LINE) {
        overlong = true
        endCarried()
      } else line(chunk, i, j)
      i = j + 1
      if (chunk[j] === 13) {
        if (i === end) lastWasReturn = true
        else if (chunk[i] === 10) i++
      }
    }
  }

  const finish = (): Outcome<CodeReading> => {
    if (nCarry > 0 || overlong) endCarried()
    if (nWords === 0)
      return failed('motioncode/no-words', 'There is no word of motion code in this file; choose another file.')
    if (machine.moves.n === 0 && nMalformed > 0)
      return {
        ok: false,
        issues: [
          {
            code: 'motioncode/no-moves',
            message: `No line of this file makes a move, and ${nMalformed} of ${nLines} lines could not be read. Is it motion code?`,
          },
          ...malformed.slice(0, 10),
        ],
      }
    const decisions = decide(machine)
    if (nMarked > 0)
      decisions.push(
        `${nMarked} lines are marked with a leading stroke; they were ${machine.options.skipMarked ? 'left out' : 'carried out'}.`,
      )
    const notes: Issue[] = []
    if (machine.full)
      notes.push({
        code: 'motioncode/too-many-moves',
        message: `Reading stopped after ${machine.moves.n} moves; the rest of the file (${nAfterEnd} lines) was not read.`,
      })
    else if (nAfterEnd > 0)
      notes.push({
        code: 'motioncode/after-end',
        message: `The program ends on line ${machine.endLine}; ${nAfterEnd} lines after it were not read.`,
      })
    const notFollowed: NotFollowed[] = machine.notFollowed
      .list()
      .map((entry) => ({ ...entry, effect: NOT_FOLLOWED[entry.word] ?? CORNER_DEVIATION }))
    return good(
      {
        kind: 'code-reading',
        nBytes,
        nLines,
        nWords,
        moves: machine.moves.finish(),
        events: machine.events.finish(),
        arcs: machine.arcs,
        nArcs: machine.nArcs,
        unknown: machine.unknown.list(),
        notFollowed,
        malformed,
        nMalformed,
        decisions,
      },
      notes,
    )
  }
  return { push, finish }
}

const CORNER_DEVIATION = 'corner rule in another form: that of the printer card is used, the time may differ'

/** Settles what the words leave open, from all numbers of the file together, and says why. */
const decide = (machine: CodeMachine): string[] => {
  const said: string[] = []
  const { options, events } = machine
  if (machine.nDwellP > 0) {
    const most = machine.dwellMost
    let unit: 's' | 'ms'
    let why: string
    if (options.dwellUnit) {
      unit = options.dwellUnit
      why = 'as was asked for'
    } else if (most > 100) {
      unit = 'ms'
      why = `because the longest is ${most}, which would be ${Math.round(most / 6) / 10} minutes in seconds`
    } else if (machine.dwellFraction || !machine.usesFilament) {
      unit = 's'
      why = machine.dwellFraction
        ? `because one has a fraction and none is above ${most}`
        : 'as the standard says, because the file drives no filament'
    } else {
      unit = 'ms'
      why = 'as desktop machines have it: the file drives filament, and nothing speaks for seconds'
    }
    said.push(`Dwells with P are read in ${unit === 's' ? 'seconds' : 'milliseconds'}, ${why}.`)
    events.mapKind('dwell', (p) => (p < 0 ? -p : unit === 's' ? p : p / 1000))
  } else events.mapKind('dwell', (p) => Math.abs(p))
  const fanScale = machine.fanMost <= 1 && machine.fanFraction ? 1 : 255
  events.mapKind('fan share', (fan) => (fan < 0 ? 1 : Math.min(1, fan / fanScale)))
  if (machine.fanMost > 0)
    said.push(
      fanScale === 255
        ? `Fan words are read as 0 to 255${machine.fanMost > 255 ? '; those above 255 count as full' : ''}.`
        : 'Fan words are read as shares of 0 to 1, because none is above 1 and one has a fraction.',
    )
  if (machine.nRapidWithoutFeed > 0)
    said.push(
      `${machine.nRapidWithoutFeed} rapid moves came without any feed; they are timed at ${options.rapidMmPerS} mm/s.`,
    )
  if (machine.nDistanceAfterFilament > 0)
    said.push(
      'G90 or G91 came after M82 or M83 and contradicts it; the filament axis keeps to M82 and M83. Some machines would change it too.',
    )
  if (machine.nArcsOff > 0)
    said.push(`${machine.nArcsOff} arcs end up to 0.05 mm off their circle; they were carried out.`)
  return said
}

/** Reads a whole file from memory. */
export const readCode = (bytes: Uint8Array, options: Partial<CodeOptions> = {}): Outcome<CodeReading> => {
  const reader = createCodeReader(options)
  reader.push(bytes)
  return reader.finish()
}
