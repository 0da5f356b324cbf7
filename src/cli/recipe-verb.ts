// The verb "recipe": prints starting forms, checks a file in itself and against its cards, compares two recipes.

import { carryOver, withNozzle } from '../advise/index.ts'
import { checkRecipe, checkStep } from '../engine/findings/index.ts'
import {
  compareRecipes,
  type PrinterCard,
  type Recipe,
  type RecipeDifference,
  STARTING_FILAMENT,
  STARTING_PRINTER,
  STARTING_RECIPE,
} from '../recipe/index.ts'
import { boreFrom } from './bore.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import { FORM_WORDS, formIn, formTrouble, readForm, textOfFile } from './read-form.ts'
import { remarkData, remarkLines } from './remark-text.ts'
import type { CardOptions } from './settings-from-options.ts'
import { tame } from './terminal.ts'
import { writeWhole } from './write-file.ts'

export interface RecipeOptions extends Pick<CardOptions, 'printer' | 'filament'> {
  readonly json?: boolean
  readonly strict?: boolean
  readonly bore?: string
  readonly out?: string
  readonly force?: boolean
}

const STARTS = { starting: STARTING_RECIPE, printer: STARTING_PRINTER, filament: STARTING_FILAMENT }

const wrongUse = (): CommandTrouble =>
  new CommandTrouble('recipe takes: starting, printer, filament, check FILE, or compare A B')

interface Answer {
  readonly text: string
  readonly code: ExitCode
}
const fine = (text: string): Answer => ({ text, code: EXIT.fine })

const remarksOf = (recipe: Recipe, { printer, filament }: RecipeOptions) =>
  checkRecipe(
    recipe,
    printer === undefined ? STARTING_PRINTER : readForm('printer', printer),
    filament === undefined ? STARTING_FILAMENT : readForm('filament', filament),
  )

const checked = (path: string, options: RecipeOptions): Answer => {
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
  const remarks = form.kind === 'recipe' ? remarksOf(form.read.value as Recipe, options) : []
  const isWrong = remarks.some(({ kind }) => kind === 'contradiction')
  const code = isWrong && options.strict ? EXIT.found : EXIT.fine
  if (options.json) {
    const about = { form: 'fettle-check', version: 1, fileName: path, kind: called, fine: !isWrong, notes }
    return { text: JSON.stringify({ ...about, remarks: remarks.map(remarkData) }), code }
  }
  const lines = [
    `${path}: a ${called}, every value within its range`,
    ...notes.map((note) => `  ${note}`),
    ...remarkLines(remarks),
  ]
  if (form.kind === 'recipe' && remarks.every(({ kind }) => kind === 'note'))
    lines.push('', 'Nothing contradicts, and every line is common practice for figures.')
  return { text: lines.join('\n'), code }
}

const plainDifference = ({ key, words, before, after }: RecipeDifference) => ({ key, words, before, after })

const compared = (a: string, b: string, options: RecipeOptions): Answer => {
  const before = readForm('recipe', a)
  const after = readForm('recipe', b)
  const differences = compareRecipes(before, after)
  const step = checkStep(before, after)
  const code = options.strict && step.some(({ kind }) => kind === 'contradiction') ? EXIT.found : EXIT.fine
  if (options.json) {
    const asData = { differences: differences.map(plainDifference), step: step.map(remarkData) }
    return { text: JSON.stringify({ form: 'fettle-recipe-comparison', version: 1, ...asData }), code }
  }
  if (differences.length === 0) return fine(`${b} asks for the same as ${a}`)
  const lines = [`${b}, held against ${a}:`, ...differences.map(({ words }) => `  ${words}`)]
  if (step.length > 0) lines.push('', 'As the next trial after it:', ...remarkLines(step).slice(1))
  return { text: lines.join('\n'), code }
}

/** The starting recipe or printer card for another nozzle: carried over, computed, untried. */
const forBore = (what: string, boreMm: number): Recipe | PrinterCard => {
  const printer = withNozzle(STARTING_PRINTER, boreMm)
  if (what === 'printer') return printer
  if (what !== 'starting') throw new CommandTrouble('--bore goes with "starting" and "printer"')
  const from = { printer: STARTING_PRINTER, filament: STARTING_FILAMENT }
  const name = `${STARTING_RECIPE.name}, ${boreMm} mm nozzle (computed, untried)`
  return carryOver(STARTING_RECIPE, from, { printer, filament: STARTING_FILAMENT }, name).recipe
}

const answer = ([what = 'starting', ...files]: readonly string[], options: RecipeOptions): Answer => {
  if (what === 'check' && files.length === 1) return checked(files[0], options)
  if (what === 'compare' && files.length === 2) return compared(files[0], files[1], options)
  if (files.length > 0 || !(what in STARTS)) throw wrongUse()
  if (options.bore !== undefined) return fine(JSON.stringify(forBore(what, boreFrom(options.bore)), null, 2))
  return fine(JSON.stringify(STARTS[what as keyof typeof STARTS], null, 2))
}

/** Runs the verb; the words are those behind it. */
export const recipeVerb = async (words: readonly string[], options: RecipeOptions): Promise<ExitCode> => {
  const { text, code } = answer(words, options)
  const told = `${tame(text)}\n`
  if (options.out === undefined) process.stdout.write(told)
  else await writeWhole(options.out, told, options.force ?? false)
  return code
}
