// The whole field of stress of an examined figure, on demand: from what the examination laid inside it, kept like the rooms' results.

import { failed, good, type Outcome, type StartWasm } from '../kernel/index.ts'
import { estimateField, type FieldTask, type WholeField, wholeField } from '../strength/index.ts'
import { Kept } from './kept.ts'
import { printedBody } from './printed-body.ts'
import type { Examination } from './types.ts'

/** What may be wished of the field. */
export interface FieldWish {
  /** Side of a cell, mm; null: 0.2, or coarser where memory asks for it. */
  readonly cellMm: number | null
  /** Memory that may be used, bytes. */
  readonly mostBytes: number
  /** Also solve on a coarser grid, to tell the error: a third more time. */
  readonly tellsError: boolean
}

export const FIELD_WISHES: FieldWish = Object.freeze({ cellMm: null, mostBytes: 1.2e9, tellsError: true })

/** Allowed cells, mm. */
export const FIELD_CELLS = Object.freeze({ from: 0.05, to: 2 })

/** Works out fields and keeps the last two. */
export interface FieldRunner {
  /** @throws Cancelled when stopped */
  readonly field: (
    examination: Examination,
    wish?: Partial<FieldWish>,
    task?: FieldTask,
  ) => Promise<Outcome<WholeField>>
  readonly kept: Kept
}

/** A runner with a store of its own. @param startWasm starts WebAssembly; null: plain arrays, slower */
export const createFieldRunner = (startWasm: StartWasm | null): FieldRunner => {
  const kept = new Kept(2)
  // The examiner hands out the same object for the same figure, recipe and cards: its number names all the field depends on.
  const numberOf = new WeakMap<object, number>()
  let nKnown = 0
  const field: FieldRunner['field'] = async (examination, wish = {}, task) => {
    const { cellMm, mostBytes, tellsError } = { ...FIELD_WISHES, ...wish }
    const { figure, layers, strength, print, heat, settings } = examination
    if (!strength) {
      return failed(
        'examine/field-without-strength',
        'The whole field starts from the weak places of a full examination, and this one was a quick one; examine the figure in full first.',
      )
    }
    if (cellMm !== null && !(cellMm >= FIELD_CELLS.from && cellMm <= FIELD_CELLS.to)) {
      return failed(
        'examine/field-cell',
        `The cell of the field is ${cellMm} mm, expected ${FIELD_CELLS.from} to ${FIELD_CELLS.to} mm; set it within that range or leave it out.`,
        { key: 'cellMm' },
      )
    }
    const needs = cellMm === null ? null : estimateField(figure, layers, cellMm)
    if (needs && needs.bytes > mostBytes) {
      return failed(
        'examine/field-memory',
        `Cells of ${cellMm} mm would make ${(needs.nUnknowns / 1e6).toFixed(1)} million unknowns and take about ${(needs.bytes / 1e9).toFixed(1)} GB, ` +
          `expected at most ${(mostBytes / 1e9).toFixed(1)} GB; take coarser cells, or leave the cell out and it will be chosen.`,
        { key: 'cellMm' },
      )
    }
    let number = numberOf.get(strength)
    if (number === undefined) {
      number = nKnown++
      numberOf.set(strength, number)
    }
    const key = `${number}|${cellMm}|${mostBytes}|${tellsError}`
    return good(
      await kept.get('field', key, () =>
        wholeField(
          figure,
          layers,
          strength,
          settings.filament,
          {
            cellMm,
            mostBytes,
            tellsError,
            ...printedBody(settings, print, heat),
            startWasm,
          },
          task,
        ),
      ),
    )
  }
  return { field, kept }
}
