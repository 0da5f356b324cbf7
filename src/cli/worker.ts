// Entry of the command's worker thread: examines one figure or one print file at a time.

import {
  type CodeReport,
  codeReport,
  createExaminer,
  createFieldRunner,
  dropExamination,
  type Examination,
  type ExamineSettings,
  examineCode,
  type HeatDetail,
  predictPrinted,
  type SoftAnswer,
  type SoftQuestion,
  softSeries,
} from '../engine/examine/index.ts'
import { good, type Outcome, partOf, type Task } from '../engine/kernel/index.ts'
import type { CodeReading } from '../engine/motioncode/index.ts'
import type { DropByModes, DropModesOptions } from '../engine/strength/index.ts'
import { writePredicted } from '../engine/surface/index.ts'
import { fieldFacts, fieldGlb, fieldVtu, type LayerQuantity, surfaceQuantity } from '../guide/index.ts'
import { serveMethods } from '../pool/index.ts'
import { loadPolygonKit, startWasm } from '../pool/node.ts'
import { couponMethods } from './coupon-work.ts'
import type { FieldFile, FieldOrder } from './field-file.ts'
import { squadMethods } from './squad-work.ts'
import { type AdviceRequest, adviceWork, type TrialRequest, trialWork } from './trial-work.ts'

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
  /** How closely heat is followed; by the layer model when nothing is said. */
  readonly heat?: HeatDetail
  /** The print file to hold against the plan. */
  readonly code?: Omit<CodeRequest, 'settings'>
  /** The whole field of stress, as a file. */
  readonly field?: FieldOrder
  /** The printed solid, as a mesh file. */
  readonly predicted?: 'stl' | 'ply'
}

/** What the method "drop" takes. */
export interface DropRequest {
  readonly bytes: Uint8Array
  readonly name: string
  readonly settings: ExamineSettings
  readonly options: Partial<DropModesOptions>
}

/** What the method "soft" takes. */
export interface SoftRequest {
  readonly bytes: Uint8Array
  readonly name: string
  readonly settings: ExamineSettings
  readonly question: SoftQuestion
}

/** An examination, and what the print file does, when there is one. */
export interface ExamineAnswer {
  readonly examination: Outcome<Examination>
  readonly code: Outcome<CodeReport> | null
  readonly field: Outcome<FieldFile> | null
  readonly predicted: Uint8Array | null
}

const loadingKit = loadPolygonKit()
const loading = loadingKit.then((kit) => createExaminer(kit, startWasm))
const fields = createFieldRunner(startWasm)

const reportOf = async (
  { reading, name, settings }: CodeRequest,
  examination: Examination | null,
  task?: Task,
): Promise<Outcome<CodeReport>> => {
  const figure = examination?.print ? { layers: examination.layers, print: examination.print } : null
  const outcome = await examineCode(reading, name, settings, figure, task, await loadingKit)
  return outcome.ok ? good(codeReport(outcome.value), outcome.notes) : outcome
}

/** Temperatures of the layers for the field's file, as far as heat was looked at. */
const layerHeat = ({ heat, layers: { faceZ } }: Examination): readonly LayerQuantity[] => {
  if (!heat) return []
  const { quick, full } = heat
  if (!full) return [{ name: 'temperature C under the nozzle', values: quick.topC, faceZ }]
  return [
    { name: 'temperature C under the nozzle', values: full.layers.belowC, faceZ },
    { name: 'temperature C at the end of the layer', values: full.layers.endC, faceZ },
    { name: 'healing with the layer below', values: full.layers.healing, faceZ },
  ]
}

const fieldOf = async (
  { form, cellMm, quantity }: FieldOrder,
  examination: Examination,
  task?: Task,
): Promise<Outcome<FieldFile>> => {
  const outcome = await fields.field(examination, { cellMm }, task)
  if (!outcome.ok) return outcome
  const field = outcome.value
  const bytes =
    form === 'vtu'
      ? fieldVtu(field, layerHeat(examination))
      : fieldGlb(examination.figure.mesh, surfaceQuantity(field, quantity), examination.summary.name)
  return good({ bytes, facts: fieldFacts(field) })
}

const predictedOf = async (form: 'stl' | 'ply', examination: Examination, task?: Task): Promise<Uint8Array | null> => {
  const surface = await predictPrinted(examination, await loadingKit, {}, task)
  return surface && writePredicted(surface, form)
}

serveMethods({
  trial: async (request: TrialRequest, task) => trialWork(await loading, request, task),
  advise: async (request: AdviceRequest, task) => adviceWork(await loadingKit, request, task),
  examine: async (
    { bytes, name, settings, heat, code, field, predicted }: ExamineRequest,
    task,
  ): Promise<ExamineAnswer> => {
    const examiner = await loading
    const alone = code || field || predicted ? partOf(task, 0, field ? 0.5 : 0.7) : task
    const examination = await examiner.examine(bytes, name, settings, { ...alone, ...(heat ? { heat } : {}) })
    if (!examination.ok) return { examination, code: null, field: null, predicted: null }
    const report = code
      ? await reportOf({ ...code, settings }, examination.value, partOf(task, field ? 0.5 : 0.7, field ? 0.6 : 1))
      : null
    return {
      examination,
      code: report,
      field: field ? await fieldOf(field, examination.value, partOf(task, 0.6, predicted ? 0.9 : 1)) : null,
      predicted: predicted ? await predictedOf(predicted, examination.value, partOf(task, 0.9, 1)) : null,
    }
  },
  drop: async ({ bytes, name, settings, options }: DropRequest, task): Promise<Outcome<DropByModes>> => {
    const how = { ...partOf(task, 0, 0.25), withoutRemedies: true }
    const examined = await (await loading).examine(bytes, name, settings, how)
    return examined.ok ? dropExamination(examined.value, startWasm, options, partOf(task, 0.25, 1)) : examined
  },
  soft: async ({ bytes, name, settings, question }: SoftRequest, task): Promise<Outcome<SoftAnswer>> => {
    const how = { ...partOf(task, 0, 0.4), heat: 'whole', withoutRemedies: true } as const
    const examined = await (await loading).examine(bytes, name, settings, how)
    if (!examined.ok) return examined
    return softSeries(examined.value, await loadingKit, startWasm, question, partOf(task, 0.4, 1))
  },
  code: (request: CodeRequest, task) => reportOf(request, null, partOf(task, 0.4, 1)),
  ...couponMethods(loadingKit),
  ...squadMethods(loadingKit),
})
