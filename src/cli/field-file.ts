// The option --fields: the whole field of stress into a file of its own, VTK XML or binary glTF, and its sentences for the report.

import { extname } from 'node:path'
import { FIELD_CELLS } from '../engine/examine/index.ts'
import type { FieldFacts, FieldQuantity } from '../guide/index.ts'
import { CommandTrouble } from './exit-codes.ts'
import { wrap } from './help.ts'
import { numberIn } from './settings-from-options.ts'
import { type Ink, tame } from './terminal.ts'

export interface FieldOptions {
  readonly fields?: string
  readonly fieldCell?: string
  readonly quantity?: FieldQuantity
}

/** What the worker is to make of the field. */
export interface FieldOrder {
  readonly form: 'vtu' | 'glb'
  readonly cellMm: number | null
  readonly quantity: FieldQuantity
}

/** The field as a file and in words. */
export interface FieldFile {
  readonly bytes: Uint8Array
  /** Loads in sentences and numbers, for the report and for the sheet as data. */
  readonly facts: FieldFacts
}

/** Refuses what makes no sense; null when no field is wanted. @throws CommandTrouble */
export const fieldOrder = ({ fields, fieldCell, quantity }: FieldOptions): FieldOrder | null => {
  if (fields === undefined) {
    if (fieldCell !== undefined || quantity !== undefined)
      throw new CommandTrouble('--field-cell and --quantity belong to --fields: give it a file to write')
    return null
  }
  const form = extname(fields).toLowerCase()
  if (form !== '.vtu' && form !== '.glb')
    throw new CommandTrouble(`--fields writes files that end in .vtu or .glb, not "${fields}"`)
  if (form === '.vtu' && quantity !== undefined)
    throw new CommandTrouble('--quantity chooses the colour of a .glb; a .vtu holds them all: leave it out')
  const range = { least: FIELD_CELLS.from, most: FIELD_CELLS.to }
  return {
    form: form === '.vtu' ? 'vtu' : 'glb',
    cellMm: fieldCell === undefined ? null : numberIn('--field-cell', fieldCell, range, 'mm'),
    quantity: quantity ?? 'use',
  }
}

/** The field in the report. @param isAll tells what it rests on as well */
export const fieldLines = ({ facts: { loads, basis } }: FieldFile, ink: Ink, isAll: boolean): string[] => [
  ink.strong('The whole field of stress'),
  ...loads.flatMap(({ words }) => wrap(tame(words), 2)),
  ...(isAll ? basis : basis.slice(0, 1)).flatMap((words) => wrap(tame(words), 2).map(ink.faint)),
  '',
]
