// The examination behind the sheet, for work that goes on from it.

import type { Examination, ExamineSettings } from '../../engine/examine/index.ts'
import type { Outcome } from '../../engine/kernel/index.ts'
import type { FileInput, WorkPlace } from './work-place.ts'

/** Asked as the sheet asked it, and kept since then: in the sheet's worker this takes no time. Its own progress is not told. */
export const examinedAsSheet = (
  file: FileInput,
  settings: ExamineSettings,
  { examiner, bytesOf, task: { signal, breathe } }: WorkPlace,
): Promise<Outcome<Examination>> =>
  examiner.examine(bytesOf(file), file.name, settings, { signal, breathe, heat: 'whole' })
