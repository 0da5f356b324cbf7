// What a print file does as data: form "fettle-code", version 1. Holds every number of the report, not the beads.

import type { CodeReport, ExamineSettings } from '../engine/examine/index.ts'
import { type Plain, plain } from './plain.ts'
import type { SheetSource } from './sheet-json.ts'

export const CODE_FORM = 'fettle-code'
export const CODE_VERSION = 1

/** The report as a JSON value with keys in a fixed order. The same file and cards give the same text. */
export const codeJson = (report: CodeReport, settings: ExamineSettings, source: SheetSource): Plain => {
  const { recipe, printer, filament: spool } = settings
  return plain({
    form: CODE_FORM,
    version: CODE_VERSION,
    tool: { name: 'fettle', version: source.toolVersion },
    source: { fileName: source.fileName, sha256: source.fileSha256 },
    settings: { recipe, printer, filament: spool, sha256: source.settingsSha256 },
    report,
  })
}

/** The same as one line of text. */
export const codeLine = (report: CodeReport, settings: ExamineSettings, source: SheetSource): string =>
  JSON.stringify(codeJson(report, settings, source))
