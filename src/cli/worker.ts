// Entry of the command's worker thread: examines one figure or one print file at a time.

import {
  type CodeReport,
  codeReport,
  createExaminer,
  type Examination,
  type ExamineSettings,
  examineCode,
} from '../engine/examine/index.ts'
import { good, type Outcome, partOf, type Task } from '../engine/kernel/index.ts'
import type { CodeReading } from '../engine/motioncode/index.ts'
import { serveMethods } from '../pool/index.ts'
import { loadPolygonKit } from '../pool/node.ts'

/** A print file that has been read, for the worker. */
export interface CodeRequest {
  readonly reading: CodeReading
  readonly name: string
  readonly settings: ExamineSettings
}

/** What the method "examine" takes. */
export interface ExamineRequest {
  readonly bytes: Uint8Array
  readonly name: string
  readonly settings: ExamineSettings
  /** The print file to hold against the plan. */
  readonly code?: Omit<CodeRequest, 'settings'>
}

/** An examination, and what the print file does, when there is one. */
export interface ExamineAnswer {
  readonly examination: Outcome<Examination>
  readonly code: Outcome<CodeReport> | null
}

const loadingKit = loadPolygonKit()
const loading = loadingKit.then(createExaminer)

const reportOf = async (
  { reading, name, settings }: CodeRequest,
  examination: Examination | null,
  task?: Task,
): Promise<Outcome<CodeReport>> => {
  const figure = examination?.print ? { layers: examination.layers, print: examination.print } : null
  const outcome = await examineCode(reading, name, settings, figure, task, await loadingKit)
  return outcome.ok ? good(codeReport(outcome.value), outcome.notes) : outcome
}

serveMethods({
  examine: async ({ bytes, name, settings, code }: ExamineRequest, task): Promise<ExamineAnswer> => {
    const examiner = await loading
    const examination = await examiner.examine(bytes, name, settings, code ? partOf(task, 0, 0.7) : task)
    if (!code || !examination.ok) return { examination, code: null }
    return { examination, code: await reportOf({ ...code, settings }, examination.value, partOf(task, 0.7, 1)) }
  },
  code: (request: CodeRequest, task) => reportOf(request, null, partOf(task, 0.4, 1)),
})
