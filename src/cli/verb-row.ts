// Row of a verb in the table, and the options that several verbs share.

/** One option of a verb. */
export interface OptionRow {
  readonly long: string
  readonly short?: string
  /** Word for the value in help, e.g. "MM"; none for a switch. */
  readonly value?: string
  readonly meaning: string
  /** What holds when it is not given, in words. */
  readonly otherwise?: string
  /** The words it takes, when they are few: for checks and completion. */
  readonly choices?: readonly string[]
  /** Completion offers files, or files and folders. */
  readonly completes?: 'file' | 'path'
}

/** One verb. */
export interface VerbRow {
  readonly name: string
  /** Names of what follows, as in help: "FILE..." takes one or more, "[VERB]" may be left out. */
  readonly takes: string
  readonly summary: string
  /** Paragraphs of the manual page. */
  readonly manual: readonly string[]
  readonly options: readonly OptionRow[]
  readonly examples: readonly (readonly [string, string])[]
  /** What completion offers for the words that follow. */
  readonly completes: 'figure' | 'code' | 'recipe' | 'verb' | 'shell' | 'none'
}

export const COLOURS = ['auto', 'always', 'never'] as const

/** Options that every verb knows. */
export const COMMON_OPTIONS: readonly OptionRow[] = [
  { long: 'quiet', short: 'q', meaning: 'say nothing beside the result and what went wrong' },
  { long: 'verbose', short: 'v', meaning: 'say each step on standard error' },
  {
    long: 'color',
    value: 'WHEN',
    choices: COLOURS,
    meaning: 'bold and accent in the output: auto, always or never; NO_COLOR is heeded',
    otherwise: 'auto: on a terminal only',
  },
  { long: 'help', short: 'h', meaning: 'help for the verb' },
]

/** Recipe and cards, as files. */
export const CARD_OPTIONS: readonly OptionRow[] = [
  { long: 'recipe', value: 'FILE', completes: 'file', meaning: 'recipe file', otherwise: 'the starting recipe' },
  { long: 'printer', value: 'FILE', completes: 'file', meaning: 'printer card', otherwise: 'the starting one' },
  { long: 'filament', value: 'FILE', completes: 'file', meaning: 'filament card', otherwise: 'the starting one' },
]
export const FORCE: OptionRow = { long: 'force', short: 'f', meaning: 'overwrite files that are there' }
export const OUT: OptionRow = {
  long: 'out',
  short: 'o',
  value: 'FILE',
  completes: 'path',
  meaning: 'write the result there, not to standard output',
}

export const DWELL_UNIT: OptionRow = {
  long: 'dwell-unit',
  value: 'UNIT',
  choices: ['s', 'ms'],
  meaning: 'unit of dwell words in the print file',
  otherwise: "told from the file's own numbers",
}
