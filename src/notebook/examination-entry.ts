// The short form of an examination that a notebook keeps, read from a sheet's data.

import * as v from 'valibot'
import { failed, good, type Outcome } from '../engine/kernel/index.ts'
import { readRecipe } from '../recipe/index.ts'
import { hashOfValue } from './canonical.ts'
import { type ExaminationPayload, type Json, NOTEBOOK_LIMITS } from './types.ts'

const finite = v.pipe(v.number(), v.finite())
const sheetSchema = v.object({
  form: v.literal('fettle-sheet'),
  version: v.literal(1),
  tool: v.object({ version: v.string() }),
  source: v.object({ fileName: v.string(), sha256: v.string() }),
  settings: v.object({ sha256: v.string(), recipe: v.optional(v.unknown()) }),
  summary: v.object({
    verdict: v.string(),
    soleToEyeMm: finite,
    totalHeightMm: finite,
    massG: v.nullable(finite),
    printS: v.nullable(finite),
  }),
  findings: v.array(
    v.object({
      rule: v.string(),
      severity: v.picklist(['breaks', 'marks', 'costs', 'note']),
      title: v.string(),
      place: v.object({ fromMm: finite, toMm: finite }),
      certainty: v.object({ share: finite }),
    }),
  ),
})

/** An examination with the recipe it was made with, as far as the sheet carries it. */
export interface SheetRead {
  readonly examination: ExaminationPayload
  readonly recipe: Json | null
}

/** Reads the data of a sheet. Code "notebook/sheet". */
export const readSheet = (value: unknown): Outcome<SheetRead> => {
  const read = v.safeParse(sheetSchema, value)
  if (!read.success) {
    const [issue] = read.issues
    return failed(
      'notebook/sheet',
      `This is not the data of a sheet: ${v.getDotPath(issue) ?? 'it'}: ${issue.message.slice(0, 120)}`,
    )
  }
  const { tool, source, settings, summary, findings } = read.output
  const recipe = settings.recipe === undefined ? null : readRecipe(JSON.stringify(settings.recipe))
  const kept = recipe?.ok ? (recipe.value as unknown as Json) : null
  return good({
    recipe: kept,
    examination: {
      toolVersion: tool.version,
      fileName: source.fileName,
      fileSha256: source.sha256,
      settingsSha256: settings.sha256,
      recipeSha256: kept === null ? null : hashOfValue(kept),
      ...summary,
      findings: findings.slice(0, NOTEBOOK_LIMITS.findings).map(({ rule, severity, title, place, certainty }) => ({
        rule,
        severity,
        title,
        fromMm: place.fromMm,
        toMm: place.toMm,
        sure: certainty.share,
      })),
    },
  })
}
