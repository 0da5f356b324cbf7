// The verb "recipe": prints starting forms, checks a file, compares two recipes.

import {
  compareRecipes,
  type RecipeDifference,
  STARTING_FILAMENT,
  STARTING_PRINTER,
  STARTING_RECIPE,
} from '../recipe/index.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import { FORM_WORDS, formIn, formTrouble, readForm, textOfFile } from './read-form.ts'
import { tame } from './terminal.ts'
import { writeWhole } from './write-file.ts'

export interface RecipeOptions {
  readonly json?: boolean
  readonly out?: string
  readonly force?: boolean
}

const STARTS = { starting: STARTING_RECIPE, printer: STARTING_PRINTER, filament: STARTING_FILAMENT }

const wrongUse = (): CommandTrouble =>
  new CommandTrouble('recipe takes: starting, printer, filament, check FILE, or compare A B')

const checked = (path: string, json: boolean): string => {
  const text = textOfFile('file', path)
  const form = formIn(text)
  if (!form)
    throw new CommandTrouble(
      `${path}: it names no form; write "form": "fettle-recipe", "fettle-printer-card" or "fettle-filament-card"`,
      EXIT.unreadable,
    )
  const called = FORM_WORDS[form.kind]
  if (!form.read.ok) throw formTrouble(called, path, form.read.issues)
  const notes = form.read.notes.map(({ message }) => message)
  if (json) return JSON.stringify({ form: 'fettle-check', version: 1, fileName: path, kind: called, fine: true, notes })
  return [`${path}: a ${called}, every value within its range`, ...notes.map((note) => `  ${note}`)].join('\n')
}

const plainDifference = ({ key, words, before, after }: RecipeDifference) => ({ key, words, before, after })

const compared = (a: string, b: string, json: boolean): string => {
  const differences = compareRecipes(readForm('recipe', a), readForm('recipe', b))
  if (json)
    return JSON.stringify({
      form: 'fettle-recipe-comparison',
      version: 1,
      differences: differences.map(plainDifference),
    })
  if (differences.length === 0) return `${b} asks for the same as ${a}`
  return [`${b}, held against ${a}:`, ...differences.map(({ words }) => `  ${words}`)].join('\n')
}

const answer = ([what = 'starting', ...files]: readonly string[], json: boolean): string => {
  if (what === 'check' && files.length === 1) return checked(files[0], json)
  if (what === 'compare' && files.length === 2) return compared(files[0], files[1], json)
  if (files.length > 0 || !(what in STARTS)) throw wrongUse()
  return JSON.stringify(STARTS[what as keyof typeof STARTS], null, 2)
}

/** Runs the verb; the words are those behind it. */
export const recipeVerb = async (words: readonly string[], options: RecipeOptions): Promise<ExitCode> => {
  const text = `${tame(answer(words, options.json ?? false))}\n`
  if (options.out === undefined) process.stdout.write(text)
  else await writeWhole(options.out, text, options.force ?? false)
  return EXIT.fine
}
