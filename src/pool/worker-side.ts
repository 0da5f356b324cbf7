// The worker's side of a pool: named methods with progress, partial results and a stop that leaves the worker alive.

import workerpool from 'workerpool'
import type { Task } from '../engine/kernel/index.ts'
import type { WorkMessage } from './types.ts'

/** A method that a worker offers. `sendPartial` takes anything that can be cloned. */
export type WorkerMethod = (input: never, task: Task, sendPartial: (part: unknown) => void) => Promise<unknown>

/** What the library hands to a method as `this`. */
interface Self {
  readonly worker?: { addAbortListener(listener: () => Promise<void>): void }
}

/** Lets messages in: a macrotask, as a promise alone would keep them waiting. */
const nextTurn = (): Promise<void> =>
  new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel()
    port2.onmessage = () => {
      port1.close()
      resolve()
    }
    port1.postMessage(null)
  })

/** Registers the methods of this worker; call once, at the end of the worker's entry file. */
export const serveMethods = (methods: Readonly<Record<string, WorkerMethod>>): void => {
  const offered = Object.entries(methods).map(([name, method]) => [
    name,
    async function (this: Self, input: never) {
      const stopper = new AbortController()
      const send = (message: WorkMessage) => workerpool.workerEmit(message)
      const running = method(
        input,
        {
          signal: stopper.signal,
          onProgress: (share, doing) => send({ kind: 'progress', share, doing }),
          breathe: nextTurn,
        },
        (part) => send({ kind: 'partial', part }),
      )
      // The stop is answered only when the work has really ended; a pool that waits too long ends the worker instead.
      this.worker?.addAbortListener(async () => {
        stopper.abort()
        await running.catch(() => undefined)
      })
      return running
    },
  ])
  workerpool.worker(Object.fromEntries(offered))
}
