// What a piece of work finds in the worker: the examiner, the polygon library, the files handed in so far, and its task.

import type { Examiner } from '../../engine/examine/index.ts'
import type { PolygonKit, Task } from '../../engine/kernel/index.ts'

/** A file as work takes it: same key, same bytes, so that the worker knows the file again. */
export interface FileInput {
  readonly key: string
  readonly name: string
  readonly bytes: Uint8Array
}

export interface WorkPlace {
  /** Keeps what it has worked out, so that the same figure with one changed setting is quick. */
  readonly examiner: Examiner
  readonly kit: PolygonKit
  /** The same array each time for the same key: hand this to the examiner, not the bytes that came with the order. */
  readonly bytesOf: (file: FileInput) => Uint8Array
  /** Progress, stop and breath of this piece of work. */
  readonly task: Task
  /** Sends what is known so far; anything that can be cloned. */
  readonly sendPartial: (part: unknown) => void
}

/** A piece of work: the default export of a `src/bench/<page>/…-worker.ts`. Answers with anything that can be cloned. */
export type BenchWork<Input, Answer> = (input: Input, place: WorkPlace) => Promise<Answer>
