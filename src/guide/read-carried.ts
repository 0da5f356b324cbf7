// A recipe that was carried over to another machine, as the command writes it, read as a table of a guide.

import * as v from 'valibot'
import { failed, good, type Outcome } from '../engine/kernel/index.ts'
import type { CarryTable } from './publish-types.ts'

const words = v.pipe(v.string(), v.maxLength(400))
const finite = v.pipe(v.number(), v.finite())

const schema = v.object({
  form: v.literal('fettle-carried-over'),
  version: v.literal(1),
  recipe: v.object({ printer: words, filament: words }),
  lines: v.pipe(v.array(v.object({ words, why: words })), v.maxLength(200)),
  kept: v.pipe(
    v.array(v.object({ label: words, unit: words, before: finite, after: finite, isKept: v.boolean() })),
    v.maxLength(50),
  ),
})

/** Reads it. Code "guide/carried". */
export const readCarried = (value: unknown): Outcome<CarryTable> => {
  const read = v.safeParse(schema, value)
  if (!read.success) {
    const [issue] = read.issues
    return failed(
      'guide/carried',
      `This is no recipe carried over ("fettle carry --json" writes one): ${v.getDotPath(issue) ?? 'it'}: ${issue.message.slice(0, 120)}`,
    )
  }
  const { recipe, lines, kept } = read.output
  return good({
    machine: `${recipe.printer}, ${recipe.filament}`,
    lines: lines.map(({ words, why }) => ({ words, why })),
    kept,
  })
}
