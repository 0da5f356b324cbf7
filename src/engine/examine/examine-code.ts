// Examines a print file by its own words: beads, times, feed and melt, and what it does otherwise than the plan.

import type { PrintResults } from '../findings/index.ts'
import { breathe, good, type Outcome, partOf, type Task } from '../kernel/index.ts'
import { diffusivityOf, gearPasses, meltLimit } from '../melt/index.ts'
import { type CodeReading, inferBeads } from '../motioncode/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { machineFit, timeBeads } from '../timing/index.ts'
import type { CodeExamination } from './code-types.ts'
import { compareCode, sumRoles } from './compare-code.ts'
import { meanHeatCapacity } from './run-print.ts'
import { recipeInForce } from './settings.ts'
import type { ExamineSettings } from './types.ts'

/** The figure that the file is meant to print, when it is known. */
export interface CodeFigure {
  readonly layers: LayerStack
  readonly print: PrintResults
}

/**
 * Examines a reading of a print file.
 * @param settings cards and recipe: limits of the machine, density and diameter of the filament
 * @param figure outlines and plan to compare with, or null
 */
export const examineCode = async (
  reading: CodeReading,
  name: string,
  settings: ExamineSettings,
  figure: CodeFigure | null,
  task?: Task,
): Promise<Outcome<CodeExamination>> => {
  const { printer, filament: spool } = settings
  task?.onProgress?.(0, 'finding beads')
  const inferred = await inferBeads(
    reading,
    { filamentDiameterMm: spool.diameterMm, stack: figure?.layers ?? null },
    partOf(task, 0, 0.6),
  )
  if (!inferred.ok) return inferred
  const { plan, acceleration, cornerSpeed, certainty, placement } = inferred.value
  await breathe(task)
  const recipe = recipeInForce(settings)
  const timeline = await timeBeads(
    plan,
    { printer, filament: spool, recipe },
    { slowDown: false, ...(acceleration ? { acceleration } : {}), ...(cornerSpeed ? { cornerSpeed } : {}) },
    partOf(task, 0.6, 0.9),
  )
  const gear = gearPasses(plan, spool.diameterMm, spool.mostGearPasses, [])
  const limit = meltLimit(plan, timeline, {
    filamentMm: spool.diameterMm,
    meltZoneMm: printer.meltZoneMm,
    diffusivity: diffusivityOf(spool.conductivityWPerMK, spool.densityGPerCm3, meanHeatCapacity(settings)),
    cardMm3PerS: printer.meltLimitMm3PerS,
  })
  const volumeMm3 = plan.volume.reduce((a, b) => a + b, 0)
  const known: Omit<CodeExamination, 'differences'> = {
    kind: 'code-examination',
    name,
    nBytes: reading.nBytes,
    nLines: reading.nLines,
    nMoves: reading.moves.n,
    plan,
    timeline,
    fit: machineFit(plan, printer),
    gear,
    limit,
    roles: sumRoles(plan),
    volumeMm3,
    massG: (volumeMm3 * spool.densityGPerCm3) / 1000,
    nRetractions: plan.retraction.reduce((n, r) => n + (r > 0 ? 1 : 0), 0),
    certainty,
    placement,
    unknown: reading.unknown,
    notFollowed: reading.notFollowed,
    malformed: reading.malformed,
    nMalformed: reading.nMalformed,
    decisions: reading.decisions,
  }
  task?.onProgress?.(1, 'comparing with the plan')
  return good({ ...known, differences: figure ? compareCode(figure.print, known) : null }, inferred.notes)
}
