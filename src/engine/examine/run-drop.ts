// Falls by the figure's own vibrations, for an examination that is there.

import { failed, good, type Outcome, type StartWasm, type Task } from '../kernel/index.ts'
import { type DropByModes, type DropModesOptions, dropByModes, weldOf } from '../strength/index.ts'
import { printedBody } from './printed-body.ts'
import type { Examination } from './types.ts'

/**
 * Drops an examined figure in many attitudes.
 * @param examination with its beads planned; where heat was followed whole, bonds are those computed
 */
export const dropExamination = async (
  examination: Examination,
  startWasm: StartWasm | null,
  options: Partial<DropModesOptions> = {},
  task?: Task,
): Promise<Outcome<DropByModes>> => {
  const { settings, layers, print, heat } = examination
  if (!print)
    return failed('drop/no-print', 'No beads were planned, expected a whole examination; examine the figure first.')
  const { stuffing, plan, healing } = printedBody(settings, print, heat)
  return good(
    await dropByModes(
      { stack: layers, material: settings.filament, stuffing, plan, weldAt: weldOf(layers, healing) },
      { ...(startWasm ? { start: startWasm } : {}), ...options },
      task,
    ),
  )
}
