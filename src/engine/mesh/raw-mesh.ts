// What every reader hands on: triangles as the file has them, before welding.

import { failed, type Issue, type Outcome, type Task } from '../kernel/index.ts'
import type { ReadLimits } from './read-limits.ts'
import type { LengthUnit } from './types.ts'

/** Triangles as read. */
export interface RawMesh {
  /** xyz per vertex, file units, all finite. */
  readonly positions: Float32Array | Float64Array
  /** Three vertices per triangle, or null when every three positions are a triangle. */
  readonly triangles: Uint32Array | null
  /** Unit stated by the file. */
  readonly unit: LengthUnit | null
  /** Name inside the file, '' for none. */
  readonly name: string
}

/** Reads one format. */
export type Reader = (bytes: Uint8Array, limits: ReadLimits, task?: Task) => Promise<Outcome<RawMesh>>

/** Says that there are more triangles than the limit allows. */
export const tooManyTriangles = (limits: ReadLimits, place?: Issue['place']): Outcome<never> =>
  failed(
    'mesh/too-many-triangles',
    `The file has more than ${limits.maxTriangles} triangles, the most that is read; reduce it in a sculpting program first.`,
    place,
  )

/** A failure at a byte. */
export const failedAtByte = (code: string, byte: number, sentence: string): Outcome<never> =>
  failed(code, `Byte ${byte}: ${sentence}`, { byte })

/** A failure at a line, counted from 1. */
export const failedAtLine = (code: string, line: number, sentence: string): Outcome<never> =>
  failed(code, `Line ${line}: ${sentence}`, { line })
