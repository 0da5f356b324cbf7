// The table of verbs and options: help, manual, completion and parsing are all made from it.

import { SEVERITIES } from '../engine/findings/index.ts'

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

/** What may follow the verb "recipe". */
export const RECIPE_WORDS = ['starting', 'printer', 'filament', 'check', 'compare'] as const
export const SHELLS = ['bash', 'zsh', 'fish'] as const
const UNITS = ['mm', 'cm', 'm', 'inch', 'foot', 'um'] as const
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
const CARD_OPTIONS: readonly OptionRow[] = [
  { long: 'recipe', value: 'FILE', completes: 'file', meaning: 'recipe file', otherwise: 'the starting recipe' },
  { long: 'printer', value: 'FILE', completes: 'file', meaning: 'printer card', otherwise: 'the starting one' },
  { long: 'filament', value: 'FILE', completes: 'file', meaning: 'filament card', otherwise: 'the starting one' },
]
const FORCE: OptionRow = { long: 'force', short: 'f', meaning: 'overwrite files that are there' }
const OUT: OptionRow = {
  long: 'out',
  short: 'o',
  value: 'FILE',
  completes: 'path',
  meaning: 'write the result there, not to standard output',
}

const DWELL_UNIT: OptionRow = {
  long: 'dwell-unit',
  value: 'UNIT',
  choices: ['s', 'ms'],
  meaning: 'unit of dwell words in the print file',
  otherwise: "told from the file's own numbers",
}

const EXAMINE: VerbRow = {
  name: 'examine',
  takes: 'FILE...',
  summary: 'examine figures: will they come out, why not, what to change',
  manual: [
    'Reads each figure (STL, OBJ, PLY, OFF, 3MF, glTF, told by content, not by name), cuts it into layers and lists what will break, show or cost, with place, numbers, certainty and remedies whose effect has been computed.',
    'FILE may be - for standard input, or crew:NAME for a built-in figure (see "fettle crew"). After a file that cannot be read the others are still examined; a summary stands at the end.',
    'A recipe file gives everything that is asked of the machine, the cards say what machine and filament can do ("fettle recipe" prints forms to start from); an option given beside them wins.',
    'With --code, the motion code of one figure is read by its words alone and held against the plan: layers, plastic, time, shells, widths, retractions, worst difference first. See "fettle help code".',
    'With --json, standard output carries one JSON object a line and a file: form "fettle-sheet" with the whole sheet, or form "fettle-trouble" for a file that could not be read.',
  ],
  options: [
    { long: 'scale-height', value: 'MM', meaning: 'height from sole to eye line', otherwise: 'guessed from the file' },
    { long: 'ratio', value: 'N', meaning: 'scale 1:N, where a person is 1.75 m tall' },
    { long: 'total-height', value: 'MM', meaning: 'height of everything, base and headgear included' },
    {
      long: 'unit',
      value: 'UNIT',
      choices: UNITS,
      meaning: 'unit of the file',
      otherwise: 'stated by the file, or guessed',
    },
    { long: 'eye-line', value: 'MM', meaning: 'height of the eye line above the soles', otherwise: 'guessed' },
    {
      long: 'stance',
      value: 'X,Y,Z',
      meaning: 'turn about x, then y, then z, in degrees',
      otherwise: '0,0,0',
    },
    ...CARD_OPTIONS,
    { long: 'layer-height', value: 'MM', meaning: 'layer height', otherwise: 'from the recipe' },
    { long: 'first-layer-height', value: 'MM', meaning: 'first layer height', otherwise: 'from the recipe' },
    { long: 'bead-width', value: 'MM', meaning: 'bead width', otherwise: 'from the recipe' },
    { long: 'least-bead-width', value: 'MM', meaning: 'narrowest bead that may be laid', otherwise: 'from the recipe' },
    { long: 'shells', value: 'N', meaning: 'shells asked for', otherwise: 'from the recipe' },
    {
      long: 'code',
      value: 'PRINT',
      completes: 'file',
      meaning: 'also tell where a print file of the figure differs from the plan',
    },
    DWELL_UNIT,
    { long: 'all', short: 'a', meaning: 'tell every finding in full', otherwise: 'the five gravest' },
    { long: 'json', meaning: 'write the sheet as JSON, one line a file' },
    OUT,
    {
      long: 'sheet',
      value: 'PATH',
      completes: 'path',
      meaning: 'also write the sheet as HTML; with several files PATH is a folder',
    },
    FORCE,
    {
      long: 'fail-on',
      value: 'SEVERITY',
      choices: SEVERITIES,
      meaning: 'exit code 1 when there is a finding this grave or graver',
      otherwise: 'findings do not change the exit code',
    },
  ],
  examples: [
    ['fettle examine crew:keeper', 'a built-in figure'],
    [
      'fettle examine ferryman.stl --scale-height 32 --sheet ferryman.html',
      'at 32 mm to the eye, with a sheet to print',
    ],
    ['fettle examine crew:keeper --code keeper.gcode', 'does the print file do what the plan asks?'],
    ['fettle examine crew/*.stl --json --fail-on breaks > sheets.jsonl', 'a whole collection, for a script'],
  ],
  completes: 'figure',
}

const CODE: VerbRow = {
  name: 'code',
  takes: 'FILE',
  summary: 'tell what a print file lays down, how long it takes, what it leaves unclear',
  manual: [
    'Reads plain motion code (RS-274 / ISO 6983 words with a filament axis) and infers beads, layers, widths, heights and roles from geometry and volume alone; comments play no part, and nothing in the file is executed or followed. FILE may be - for standard input.',
    'Tells plastic, grams and minutes by layer and role, plastic against room, threads, gear passes and melt rate; lists words that are not known or not followed with line numbers and what that does to the time, malformed lines with line and column, what was decided and why, and how sure each inference is.',
    'Acceleration and corner speed are those the file sets; where it sets none, the recipe is taken. Limits of the machine come from the printer card, diameter and density from the filament card.',
    'With --json, standard output carries one object of form "fettle-code", or of form "fettle-trouble" for a file that could not be read.',
  ],
  options: [
    ...CARD_OPTIONS,
    DWELL_UNIT,
    { long: 'strict', meaning: 'exit code 1 when a line is malformed or a word is not known' },
    { long: 'all', short: 'a', meaning: 'every layer and every word', otherwise: 'bands of layers, the first words' },
    { long: 'json', meaning: 'write the report as JSON' },
    OUT,
    FORCE,
  ],
  examples: [
    ['fettle code demo/mooring-post.gcode', 'a print file written by hand'],
    ['fettle code - --strict < ferryman.gcode', 'from standard input, for a script'],
  ],
  completes: 'code',
}

const RECIPE: VerbRow = {
  name: 'recipe',
  takes: '[WORD...]',
  summary: 'print, check or compare recipes and cards',
  manual: [
    '"fettle recipe" or "fettle recipe starting" prints the recipe to begin with as JSON; "fettle recipe printer" and "fettle recipe filament" print the cards. Change the values and hand the files to "fettle examine".',
    '"fettle recipe check FILE" reads a recipe or a card and names every key, value and range that is wrong. Nothing is guessed and nothing is filled in.',
    '"fettle recipe compare A B" tells line by line what recipe B changes against recipe A.',
  ],
  options: [{ long: 'json', meaning: 'answer check and compare as JSON' }, OUT, FORCE],
  examples: [
    ['fettle recipe -o fine.json', 'a recipe to start from'],
    ['fettle recipe check fine.json', 'is every value within its range?'],
    ['fettle recipe compare fine.json coarse.json', 'what the second one changes'],
  ],
  completes: 'recipe',
}

export const VERBS: readonly VerbRow[] = [
  EXAMINE,
  CODE,
  RECIPE,
  {
    name: 'crew',
    takes: '',
    summary: 'list the built-in figures',
    manual: ['Lists the figures that come with fettle, the crew of the night ferry, for use as crew:NAME.'],
    options: [{ long: 'json', meaning: 'list as JSON' }],
    examples: [['fettle crew', 'names of the figures']],
    completes: 'none',
  },
  {
    name: 'serve',
    takes: '',
    summary: 'serve the bench on this machine, for a browser',
    manual: [
      'Serves the built bench on localhost and prints its address. All computing happens in the browser; nothing is uploaded. Ctrl-C ends it.',
    ],
    options: [{ long: 'port', value: 'N', meaning: 'port to serve on', otherwise: 'any free one' }],
    examples: [['fettle serve --port 8123', 'on a port of your choice']],
    completes: 'none',
  },
  {
    name: 'help',
    takes: '[VERB]',
    summary: 'help, in short or for one verb',
    manual: ['Prints short help, or the help of one verb: its options with units and defaults, exit codes, examples.'],
    options: [],
    examples: [['fettle help examine', 'all options of examine']],
    completes: 'verb',
  },
  {
    name: 'manual',
    takes: '[VERB]',
    summary: 'the manual page of one verb, or of all',
    manual: ['Prints the manual: name, synopsis, description, options, exit status, files, examples.'],
    options: [],
    examples: [['fettle manual examine | less', 'read it page by page']],
    completes: 'verb',
  },
  {
    name: 'completion',
    takes: 'SHELL',
    summary: 'print a completion script for bash, zsh or fish',
    manual: ['Prints a script that completes verbs, options and their words. The examples show how to load it.'],
    options: [],
    examples: [
      ['source <(fettle completion bash)', 'in this bash only'],
      ['fettle completion fish > ~/.config/fish/completions/fettle.fish', 'for good, in fish'],
    ],
    completes: 'shell',
  },
]

export const verbNamed = (name: string): VerbRow | undefined => VERBS.find((verb) => verb.name === name)
