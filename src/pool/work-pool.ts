// A pool of workers over the workerpool library; the adapters for Node and for browsers only choose where workers come from.

import workerpool, { type WorkerPoolOptions } from 'workerpool'
import { Cancelled } from '../engine/kernel/index.ts'
import type { Job, WorkMessage, WorkPool } from './types.ts'

/** Time a stopped worker gets to end by itself and keep what it has stored, ms; then it is ended from outside. */
const GRACE_MS = 400

/**
 * Makes a pool whose workers run the script at a path or address.
 * @param options as the library takes them: kind of worker, greatest number
 */
export const workPool = (script: string, options: WorkerPoolOptions): WorkPool => {
  const pool = workerpool.pool(script, { workerTerminateTimeout: GRACE_MS, ...options })
  return {
    run: <T>(method: string, input: unknown, job: Job = {}) =>
      new Promise<T>((resolve, reject) => {
        const { signal } = job
        if (signal?.aborted) return reject(new Cancelled())
        const hear = (message: WorkMessage) => {
          if (signal?.aborted) return
          if (message.kind === 'progress') job.onProgress?.(message.share, message.doing)
          else job.onPartial?.(message.part)
        }
        const work = pool.exec(method, [input], { on: hear, transfer: job.transfer ?? [] })
        const stop = () => {
          work.cancel()
          reject(new Cancelled())
        }
        signal?.addEventListener('abort', stop, { once: true })
        work.then(
          (value: unknown) => {
            signal?.removeEventListener('abort', stop)
            resolve(value as T)
          },
          (fault: unknown) => {
            signal?.removeEventListener('abort', stop)
            reject(signal?.aborted ? new Cancelled() : fault)
          },
        )
      }),
    close: async (now = false) => {
      await pool.terminate(now)
    },
  }
}
