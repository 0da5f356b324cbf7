// Builds the parser from the table of verbs; commander reads the words, the texts are ours.

import { Command, CommanderError, Option } from 'commander'
import { type CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import { shortHelp, verbHelp } from './help.ts'
import { COMMON_OPTIONS, type OptionRow, type VerbRow } from './verb-row.ts'
import { VERBS } from './verbs.ts'

/** What runs a verb: the words that follow it and its options by camel-case name. */
export type VerbRun = (
  words: readonly string[],
  options: Readonly<Record<string, string | boolean>>,
) => Promise<ExitCode>

const optionFrom = ({ long, short, value, meaning, choices }: OptionRow): Option => {
  const option = new Option(`${short ? `-${short}, ` : ''}--${long}${value ? ` <${value}>` : ''}`, meaning)
  return choices ? option.choices([...choices]) : option
}

/** Commander's spelling of what a verb takes. */
const ARGUMENTS: Readonly<Record<string, string>> = {
  'FILE...': '<FILE...>',
  FILE: '<FILE>',
  '[WORD...]': '[WORD...]',
  '[VERB]': '[VERB]',
  SHELL: '<SHELL>',
}

/** Its sentences start with "error:" and may end in a hint in brackets on a line of its own. */
const ours = (text: string): string =>
  `fettle: ${text
    .replace(/^error: /, '')
    .trim()
    .replace(/\n\(Did you mean (one of )?(.*)\?\)$/, '; did you mean $2?')}\n`

const addVerb = (program: Command, verb: VerbRow, run: VerbRun): void => {
  const command = program.command(verb.name).exitOverride().allowExcessArguments(false)
  if (verb.takes) command.argument(ARGUMENTS[verb.takes])
  for (const row of [...verb.options, ...COMMON_OPTIONS]) if (row.long !== 'help') command.addOption(optionFrom(row))
  command.helpInformation = () => verbHelp(verb)
  command.configureOutput({ outputError: (text, write) => write(ours(text)) })
  command.action(async (...given: unknown[]) => {
    const words = verb.takes ? [given[0]].flat().filter((word): word is string => typeof word === 'string') : []
    lastCode = await run(words, command.opts())
  })
}

/** Exit code of the verb that ran; commander's actions answer nothing. */
let lastCode: ExitCode = EXIT.fine

/**
 * Parses the command line and runs the verb.
 * @param words without the two of Node
 * @returns the exit code; trouble of parsing has been told already and gives EXIT.usage
 */
export const parseAndRun = async (
  words: readonly string[],
  version: string,
  runs: Readonly<Record<string, VerbRun>>,
): Promise<ExitCode> => {
  if (words.length === 0) {
    process.stdout.write(shortHelp())
    return EXIT.fine
  }
  const program = new Command('fettle')
    .exitOverride()
    .helpCommand(false)
    .version(`fettle ${version}`, '-V, --version')
    .configureOutput({ outputError: (text, write) => write(ours(text)) })
  program.helpInformation = shortHelp
  for (const verb of VERBS) addVerb(program, verb, runs[verb.name])
  try {
    await program.parseAsync([...words], { from: 'user' })
    return lastCode
  } catch (error) {
    if (!(error instanceof CommanderError)) throw error
    if (error.exitCode === 0) return EXIT.fine
    return EXIT.usage
  }
}

/** A sentence for the person, with where to read more after wrong use. */
export const troubleText = ({ message, code }: CommandTrouble): string => {
  const more = code === EXIT.usage ? 'fettle: "fettle help VERB" tells all options\n' : ''
  return `${message
    .split('\n')
    .map((line) => `fettle: ${line}\n`)
    .join('')}${more}`
}
