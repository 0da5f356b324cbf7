// Stances worth trying with other recipes: the given one, and the best that the search over stances finds.

import type { ExamineSettings } from '../engine/examine/index.ts'
import { good, type Outcome, type PolygonKit, type Task } from '../engine/kernel/index.ts'
import { readSculpt } from '../engine/mesh/index.ts'
import { findStances } from '../engine/stances/index.ts'
import type { AdviceWish } from './types.ts'

/** The given stance first, then up to `most` others. */
export const stancesToTry = async (
  bytes: Uint8Array,
  name: string,
  settings: ExamineSettings,
  most: number,
  kit: PolygonKit,
  task?: Task,
): Promise<Outcome<AdviceWish['stances']>> => {
  const given = { stance: settings.stance, words: 'as given' }
  if (most < 1) return good([given])
  const read = await readSculpt(bytes, { name }, task)
  if (!read.ok) return read
  const found = await findStances(read.value, settings, kit, { most, cutToo: false }, task)
  if (!found.ok) return found
  const others = found.value.looks.slice(1).map(({ stance, attitude }) => ({ stance, words: attitude }))
  return good([given, ...others])
}
