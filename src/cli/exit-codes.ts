// Exit codes of the command, in one place for code, help and manual.

export const EXIT = { fine: 0, found: 1, usage: 2, unreadable: 3, internal: 4, interrupted: 130 } as const
export type ExitCode = (typeof EXIT)[keyof typeof EXIT]

/** What each code means, for help and manual. */
export const EXIT_MEANING: readonly (readonly [ExitCode, string])[] = [
  [EXIT.fine, 'fine'],
  [EXIT.found, 'there is what --fail-on or --strict asks for'],
  [EXIT.usage, 'wrong use of the command'],
  [EXIT.unreadable, 'a file could not be read or written'],
  [EXIT.internal, 'a fault in fettle itself'],
  [EXIT.interrupted, 'stopped by Ctrl-C'],
]

/** Order in which one code wins over another when several files were examined. */
const WEIGHT: readonly ExitCode[] = [
  EXIT.fine,
  EXIT.found,
  EXIT.usage,
  EXIT.unreadable,
  EXIT.internal,
  EXIT.interrupted,
]

/** The graver of two codes. */
export const graver = (a: ExitCode, b: ExitCode): ExitCode => (WEIGHT.indexOf(a) >= WEIGHT.indexOf(b) ? a : b)

/** Trouble that the person in front of the terminal can mend: a sentence and an exit code, no stack. */
export class CommandTrouble extends Error {
  readonly code: ExitCode
  constructor(message: string, code: ExitCode = EXIT.usage) {
    super(message)
    this.name = 'CommandTrouble'
    this.code = code
  }
}
