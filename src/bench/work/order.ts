// Ordering work: one worker for the sheet, a second for pages, so that a page's long work does not hold up the sheet.

import { browserPool } from '../../pool/browser.ts'
import type { WorkPool } from '../../pool/index.ts'
import workerUrl from '../worker.ts?worker&url'
import type { AnswerOf, InputOf, WorkName } from './work-table.ts'

/** What may be handed along with an order. */
export interface OrderJob {
  readonly signal?: AbortSignal
  readonly onProgress?: (share: number, doing: string) => void
  readonly onPartial?: (part: unknown) => void
  /** Buffers to move instead of copying; they are empty for the page afterwards. */
  readonly transfer?: ArrayBuffer[]
}

const sheetPool = browserPool(workerUrl)
let pagePool: WorkPool | null = null

/** Orders work for the sheet itself. @throws Cancelled when stopped; Error for a fault in the worker */
export const orderForSheet = <N extends WorkName>(
  name: N,
  input: InputOf<N>,
  job: OrderJob = {},
): Promise<AnswerOf<N>> => sheetPool.run<AnswerOf<N>>(name, input, job)

/** Orders work for a page, in a worker of its own that is made when first needed. @throws as orderForSheet */
export const orderForPage = <N extends WorkName>(
  name: N,
  input: InputOf<N>,
  job: OrderJob = {},
): Promise<AnswerOf<N>> => {
  pagePool ??= browserPool(workerUrl)
  return pagePool.run<AnswerOf<N>>(name, input, job)
}

/** Ends the pages' worker and gives its memory back. */
export const endPageWorker = (): void => {
  void pagePool?.close(true)
  pagePool = null
}
