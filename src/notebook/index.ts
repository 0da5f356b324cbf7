// The notebook: figures, cards, recipes, examinations, trials, outcomes, kept for good and carried in one file.
// Question answered: what do I know already, where did it come from, and how do two people's notes come together?
// Model: entries whose id is the hash of what they hold, only ever added; a merge is their union. SQLite in both worlds behind one port.
// Limits: one process or tab at a time; files of up to 128 MB each.
// The doors to a file and to a browser's store are node.ts and browser.ts.
export { canonicalJson, entryId, hashOfValue } from './canonical.ts'
export {
  type Added,
  addEntries,
  addEntry,
  bytesOf,
  type Draft,
  entryOf,
  history,
  standing,
  withdraw,
  withdrawnIds,
} from './entries.ts'
export { entryWords } from './entry-words.ts'
export { readSheet, type SheetRead } from './examination-entry.ts'
export { type Merged, mergeInto, notebookHash } from './merge.ts'
export { prepare } from './prepare.ts'
export { NOTEBOOK_VERSION } from './schema.ts'
export { sha256 } from './sha256.ts'
export type { SqlRow, SqlStore, SqlValue } from './sql-store.ts'
export { addTrials, momentOf, trialsIn } from './trials-record.ts'
export {
  type AttachmentPayload,
  bytesOfEntry,
  ENTRY_KINDS,
  type Entry,
  type EntryKind,
  type ExaminationPayload,
  type FigurePayload,
  type GuidePayload,
  type Json,
  NOTEBOOK_LIMITS,
} from './types.ts'
