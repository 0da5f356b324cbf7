// Reads recipe and cards from files; what is wrong is told with file, key, value and range.

import { readFileSync } from 'node:fs'
import type { Issue, Outcome } from '../engine/kernel/index.ts'
import {
  type FilamentCard,
  type PrinterCard,
  type Recipe,
  readFilamentCard,
  readPrinterCard,
  readRecipe,
} from '../recipe/index.ts'
import { CommandTrouble, EXIT } from './exit-codes.ts'
import { placeOf } from './issue-words.ts'

/** The forms by the names they have on the command line. */
export interface Forms {
  readonly recipe: Recipe
  readonly printer: PrinterCard
  readonly filament: FilamentCard
}

const READERS: { readonly [K in keyof Forms]: (text: string) => Outcome<Forms[K]> } = {
  recipe: readRecipe,
  printer: readPrinterCard,
  filament: readFilamentCard,
}
export const FORM_WORDS: { readonly [K in keyof Forms]: string } = {
  recipe: 'recipe',
  printer: 'printer card',
  filament: 'filament card',
}

export const textOfFile = (called: string, path: string): string => {
  try {
    return readFileSync(path, 'utf8')
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException
    throw new CommandTrouble(
      `${called} ${path}: ${code === 'ENOENT' ? 'there is no such file' : message}`,
      EXIT.unreadable,
    )
  }
}

/** Trouble with a form that could be opened and was refused: one line an issue. */
export const formTrouble = (called: string, path: string, issues: readonly Issue[]): CommandTrouble =>
  new CommandTrouble(
    issues
      .map((issue) => `${called} ${path}: ${issue.message}${issue.place?.line === undefined ? '' : placeOf(issue)}`)
      .join('\n'),
    EXIT.unreadable,
  )

/** Reads one form. Throws CommandTrouble that names every fault. */
export const readForm = <K extends keyof Forms>(kind: K, path: string): Forms[K] => {
  const read = READERS[kind](textOfFile(FORM_WORDS[kind], path))
  if (!read.ok) throw formTrouble(FORM_WORDS[kind], path, read.issues)
  return read.value
}

/** What a file says it is, and its reader; null when it names no form known here. */
export const formIn = (text: string): { readonly kind: keyof Forms; readonly read: Outcome<unknown> } | null => {
  const form = /"form"\s*:\s*"fettle-([a-z]+)/.exec(text)?.[1]
  const kind = (Object.keys(READERS) as (keyof Forms)[]).find((name) => name === form)
  return kind ? { kind, read: READERS[kind](text) } : null
}
