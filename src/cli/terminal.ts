// What the command knows of its terminal: whether colour and progress are wanted, and how to write.

import type { COLOURS } from './verb-row.ts'

/** Marks for text; plain when colour is off. */
export interface Ink {
  readonly strong: (text: string) => string
  readonly faint: (text: string) => string
  readonly accent: (text: string) => string
}

const code = (open: number, close: number) => (text: string) => `\u001b[${open}m${text}\u001b[${close}m`
const same = (text: string): string => text

export const PLAIN_INK: Ink = { strong: same, faint: same, accent: same }
export const BRIGHT_INK: Ink = { strong: code(1, 22), faint: code(2, 22), accent: code(36, 39) }

/** Ink for a stream. The option wins over NO_COLOR, which wins over what the terminal could do. */
export const inkFor = (when: (typeof COLOURS)[number], isTerminal: boolean, env: NodeJS.ProcessEnv): Ink => {
  if (when === 'always') return BRIGHT_INK
  if (when === 'never' || env.NO_COLOR || env.TERM === 'dumb') return PLAIN_INK
  return isTerminal ? BRIGHT_INK : PLAIN_INK
}

/** Ink for a result that goes to standard output, or plain to a file. */
export const inkOfResult = ({
  out,
  color,
}: {
  readonly out?: string
  readonly color?: (typeof COLOURS)[number]
}): Ink => (out === undefined ? inkFor(color ?? 'auto', process.stdout.isTTY ?? false, process.env) : PLAIN_INK)

/** Makes text from a file or a name harmless for a terminal: control characters are shown, not obeyed. */
export const tame = (text: string): string =>
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
  text.replace(/[\u0000-\u0008\u000b-\u001f\u007f-\u009f]/g, '\uFFFD')
