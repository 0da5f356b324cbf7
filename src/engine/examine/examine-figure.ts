// Examines a figure that is already standing: all rooms, findings, effects of remedies. Nothing is kept.

import type { Figure } from '../figure/index.ts'
import { type Finding, judge, type RoomResults } from '../findings/index.ts'
import { type PolygonKit, partOf, type Task } from '../kernel/index.ts'
import { edgeNeighbours } from '../mesh/index.ts'
import { EffectRunner } from './effects.ts'
import { type RoomContext, runAllRooms } from './run-rooms.ts'
import type { ExamineSettings } from './types.ts'

/** Results of all rooms and the findings with their effects, for a figure made by other means than a file. */
export const examineFigure = async (
  figure: Figure,
  settings: ExamineSettings,
  kit: PolygonKit,
  task?: Task,
): Promise<{ results: RoomResults; findings: readonly Finding[] }> => {
  const context: RoomContext = { figure, neighbours: edgeNeighbours(figure.mesh), settings, kit }
  const results = await runAllRooms(context, partOf(task, 0, 0.5))
  const runner = new EffectRunner(context, results, null)
  const findings: Finding[] = []
  for (const finding of judge(results)) findings.push(await runner.withEffects(finding, task))
  return { results, findings }
}
