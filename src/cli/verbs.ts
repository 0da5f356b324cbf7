// The table of verbs: help, manual, completion and parsing are all made from it. Long rows stand in files of their own.

import type { VerbRow } from './verb-row.ts'
import { ADVISE } from './verbs/advise.ts'
import { CARRY } from './verbs/carry.ts'
import { CODE } from './verbs/code.ts'
import { COUPON } from './verbs/coupon.ts'
import { DIAGNOSE } from './verbs/diagnose.ts'
import { DROP } from './verbs/drop.ts'
import { EXAMINE } from './verbs/examine.ts'
import { GUIDE } from './verbs/guide.ts'
import { NOTEBOOK } from './verbs/notebook.ts'
import { PLAN } from './verbs/plan.ts'
import { RECIPE } from './verbs/recipe.ts'
import { RECORD } from './verbs/record.ts'
import { SOFT } from './verbs/soft.ts'
import { STANCES } from './verbs/stances.ts'
import { SWEEP } from './verbs/sweep.ts'
import { TRAY } from './verbs/tray.ts'

/** What may follow the verb "recipe". */
export const RECIPE_WORDS = ['starting', 'printer', 'filament', 'check', 'compare'] as const
export const SHELLS = ['bash', 'zsh', 'fish'] as const

export const VERBS: readonly VerbRow[] = [
  EXAMINE,
  CODE,
  RECIPE,
  SWEEP,
  ADVISE,
  CARRY,
  PLAN,
  COUPON,
  RECORD,
  DIAGNOSE,
  DROP,
  SOFT,
  STANCES,
  TRAY,
  NOTEBOOK,
  GUIDE,
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
