// The verb "carry": a recipe from one pair of cards to another, line by line with reasons, and both examined on a figure if asked for.

import {
  type Cards,
  type CarriedOver,
  carryOver,
  type KeptNumber,
  type TrialNumbers,
  withNozzle,
} from '../advise/index.ts'
import { STARTING_FILAMENT, STARTING_PRINTER } from '../recipe/index.ts'
import { boreFrom } from './bore.ts'
import { EXIT, type ExitCode } from './exit-codes.ts'
import { wrap } from './help.ts'
import type { Surroundings } from './places.ts'
import { readForm } from './read-form.ts'
import { remarkData, remarkLines } from './remark-text.ts'
import type { CardOptions } from './settings-from-options.ts'
import { tame } from './terminal.ts'
import { trialsOf, trialTable } from './trial-run.ts'
import { writeAll } from './write-all.ts'

export interface CarryOptions extends Pick<CardOptions, 'printer' | 'filament'> {
  readonly toPrinter?: string
  readonly toFilament?: string
  readonly bore?: string
  readonly figure?: string
  readonly scaleHeight?: string
  readonly json?: boolean
  readonly out?: string
  readonly card?: string
  readonly force?: boolean
  readonly quiet?: boolean
  readonly verbose?: boolean
}

const cardsFrom = (options: CarryOptions): { readonly from: Cards; readonly to: Cards } => {
  const printer = options.printer === undefined ? STARTING_PRINTER : readForm('printer', options.printer)
  const filament = options.filament === undefined ? STARTING_FILAMENT : readForm('filament', options.filament)
  const machine = options.toPrinter === undefined ? printer : readForm('printer', options.toPrinter)
  return {
    from: { printer, filament },
    to: {
      printer: options.bore === undefined ? machine : withNozzle(machine, boreFrom(options.bore)),
      filament: options.toFilament === undefined ? filament : readForm('filament', options.toFilament),
    },
  }
}

const numberText = (value: number): string => String(Number(value.toPrecision(3)))
const keptLine = ({ label, unit, before, after, isKept }: KeptNumber): string[] => {
  const words = `${label}: ${numberText(before)}${isKept && numberText(before) === numberText(after) ? '' : ` -> ${numberText(after)}`} ${unit}`
  return wrap(`${words.trim()}${isKept ? '' : ' (not kept)'}`, 4).map((line, i) =>
    i === 0 ? `  - ${line.trimStart()}` : line,
  )
}

/** The answer in words. */
const textOf = (
  path: string,
  { recipe, lines, kept, remarks }: CarriedOver,
  trials: readonly TrialNumbers[],
): string => {
  const told = lines.flatMap(({ words, why }) => [...wrap(tame(words), 2), ...wrap(tame(why), 6)])
  return [
    ...wrap(tame(`${path}, carried over to ${recipe.printer}, ${recipe.filament}: computed, untried.`)),
    '',
    ...(lines.length === 0 ? ['No line has to change.'] : told),
    '',
    'Kept:',
    ...kept.flatMap(keptLine),
    ...remarkLines(remarks),
    ...(trials.length === 2 ? ['', ...trialTable(['before', 'carried over'], trials)] : []),
    '',
  ].join('\n')
}

/** Runs the verb. */
export const carryVerb = async (path: string, options: CarryOptions, around: Surroundings): Promise<ExitCode> => {
  const recipe = readForm('recipe', path)
  const { from, to } = cardsFrom(options)
  const carried = carryOver(recipe, from, to)
  const files = [
    ...(options.out === undefined ? [] : [{ path: options.out, text: `${JSON.stringify(carried.recipe, null, 2)}\n` }]),
    ...(options.card === undefined ? [] : [{ path: options.card, text: `${JSON.stringify(to.printer, null, 2)}\n` }]),
  ]
  const save = await writeAll(files, options.force ?? false)
  const trials =
    options.figure === undefined
      ? []
      : await trialsOf(
          options.figure,
          [
            { recipe, ...from },
            { recipe: carried.recipe, ...to },
          ],
          options,
          around,
        )
  await save()
  const text = options.json
    ? `${JSON.stringify({
        form: 'fettle-carried-over',
        version: 1,
        recipe: carried.recipe,
        printer: to.printer,
        filament: to.filament,
        lines: carried.lines,
        kept: carried.kept,
        remarks: carried.remarks.map(remarkData),
        ...(trials.length === 2 ? { examined: { before: trials[0], after: trials[1] } } : {}),
      })}\n`
    : textOf(path, carried, trials)
  process.stdout.write(text)
  return EXIT.fine
}
