// Entry of the command's worker thread: examines one figure at a time.

import { createExaminer, type ExamineSettings } from '../engine/examine/index.ts'
import { serveMethods } from '../pool/index.ts'
import { loadPolygonKit } from '../pool/node.ts'

/** What the method "examine" takes. */
export interface ExamineRequest {
  readonly bytes: Uint8Array
  readonly name: string
  readonly settings: ExamineSettings
}

const loading = loadPolygonKit().then(createExaminer)

serveMethods({
  examine: async ({ bytes, name, settings }: ExamineRequest, task) =>
    (await loading).examine(bytes, name, settings, task),
})
