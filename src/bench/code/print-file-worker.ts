// Reads a print file and makes its sheet; the figure that is shown, with its settings, is what it is held against.

import { type Examination, type ExamineSettings, examineCodeFile } from '../../engine/examine/index.ts'
import { partOf } from '../../engine/kernel/index.ts'
import { displaySurface } from '../display-surface.ts'
import type { ExamineAnswer, SheetParts } from '../messages.ts'
import type { BenchWork, FileInput } from '../work/work-place.ts'
import { codeSheet } from './code-sheet.ts'

export interface PrintFileOrder {
  readonly code: FileInput
  /** What it is meant to print; null when no figure is shown. */
  readonly figure: FileInput | null
  readonly settings: ExamineSettings
}

/** The examination of the figure; null where there is none or it cannot be examined. */
const figureOf = async (
  { figure, settings }: PrintFileOrder,
  { examiner, bytesOf, task }: Parameters<typeof readPrintFile>[1],
): Promise<Examination | null> => {
  if (!figure) return null
  const outcome = await examiner.examine(bytesOf(figure), figure.name, settings, partOf(task, 0, 0.5))
  return outcome.ok ? outcome.value : null
}

const readPrintFile: BenchWork<PrintFileOrder, ExamineAnswer> = async (order, place) => {
  const { kit, task, sendPartial, bytesOf } = place
  const of = await figureOf(order, place)
  const figure = of?.print ? { layers: of.layers, print: of.print } : null
  const outcome = await examineCodeFile(
    bytesOf(order.code),
    order.code.name,
    order.settings,
    figure,
    partOf(task, 0.5, 0.98),
    kit,
  )
  if (!outcome.ok) return { ok: false, issues: outcome.issues }
  const code = outcome.value
  const parts = codeSheet(code, order.settings, of)
  if (!parts)
    return {
      ok: false,
      issues: [
        {
          code: 'bench/not-one-thing',
          message: `${code.name} was read (${code.nMoves} moves, ${code.plan.nLayers} layers), but its layers do not stand one on the other, expected one print built upwards; examine it with the command.`,
        },
      ],
    }
  let shown: SheetParts = parts
  if (of && code.placement) {
    const { mesh, ...facts } = of.figure
    shown = { ...parts, figure: facts, surface: displaySurface(mesh) }
  }
  sendPartial(shown)
  return { ok: true, notes: outcome.notes }
}

export default readPrintFile
