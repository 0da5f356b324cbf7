// One row of a coupon by itself: outlines, beads and times at one level of the setting.

import { type BeadPlan, planBeads } from '../../engine/beads/index.ts'
import { type PolygonKit, partOf, type Task } from '../../engine/kernel/index.ts'
import { cutLayers, type LayerStack } from '../../engine/sections/index.ts'
import { type Timeline, timeBeads } from '../../engine/timing/index.ts'
import type { Recipe } from '../../recipe/index.ts'
import type { TrialCards } from '../ladders.ts'
import type { LadderSetting } from '../types.ts'
import type { Piece } from './pieces.ts'
import { meshOf } from './solids.ts'

export interface PlannedRow {
  readonly plan: BeadPlan
  readonly stack: LayerStack
  readonly timeline: Timeline
  /** The recipe of the row: that of the cards with the level under test and what the piece needs. */
  readonly recipe: Recipe
}

/** Plans a piece at one level. */
export const planRow = async (
  piece: Piece,
  setting: LadderSetting,
  level: number,
  cards: TrialCards,
  kit: PolygonKit,
  task?: Task,
): Promise<PlannedRow> => {
  const recipe: Recipe = {
    ...cards.recipe,
    ...piece.recipe,
    nPrimingLoops: Math.max(1, cards.recipe.nPrimingLoops),
    // The least layer time is held by waiting aside where slowing down is not enough: it is under test.
    waitForLayerTime: setting === 'leastLayerTimeS' ? true : cards.recipe.waitForLayerTime,
    [setting]: level,
  }
  const { layerHeightMm, firstLayerHeightMm } = recipe
  const stack = await cutLayers(meshOf(piece.parts), piece.heightMm, { layerHeightMm, firstLayerHeightMm }, kit)
  const { plan } = await planBeads(stack, { ...recipe, leftoverPoints: 'empty' }, kit, partOf(task, 0, 0.7))
  const timeline = await timeBeads(plan, { ...cards, recipe }, {}, partOf(task, 0.7, 1))
  return { plan, stack, timeline, recipe }
}
