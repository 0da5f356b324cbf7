// The bench's hold on its notebook: a worker of its own, made when the first order is given. Other pages order from here too.

import { signal } from '@preact/signals'
import type { Outcome } from '../../engine/kernel/index.ts'
import type { ListedEntry, NotebookAnswer, NotebookOrders, OrderName } from './notebook-messages.ts'

let worker: Worker | null = null
let count = 0
const waiting = new Map<number, (answer: NotebookAnswer) => void>()

const startWorker = (): Worker => {
  const made = new Worker(new URL('./notebook-worker.ts', import.meta.url), { type: 'module' })
  made.onmessage = ({ data }: MessageEvent<NotebookAnswer>) => {
    waiting.get(data.number)?.(data)
    waiting.delete(data.number)
  }
  made.onerror = () => {
    for (const [number, tell] of waiting)
      tell({
        number,
        ok: false,
        issues: [{ code: 'notebook/worker', message: 'The notebook could not be started in this browser.' }],
      })
    waiting.clear()
    worker = null
  }
  return made
}

/** Gives an order to the notebook. Trouble is a value, also when another tab has the notebook. */
export const askNotebook = <N extends OrderName>(
  name: N,
  takes: NotebookOrders[N]['takes'],
): Promise<Outcome<NotebookOrders[N]['gives']>> =>
  new Promise((resolve) => {
    worker ??= startWorker()
    const number = count++
    waiting.set(number, (answer) =>
      resolve(
        answer.ok
          ? { ok: true, value: answer.value as NotebookOrders[N]['gives'], notes: answer.notes }
          : { ok: false, issues: answer.issues },
      ),
    )
    worker.postMessage({ number, name, takes })
  })

/** Everything that was ever written, oldest first; null until it was asked for. */
export const entries = signal<readonly ListedEntry[] | null>(null)
/** Why the notebook cannot be used, or what went wrong last; empty otherwise. */
export const notebookTrouble = signal('')

/** Asks for the list anew. */
export const readEntries = async (): Promise<void> => {
  const told = await askNotebook('list', null)
  if (told.ok) entries.value = told.value
  notebookTrouble.value = told.ok ? '' : told.issues[0].message
}

/** The moment, as entries are dated. */
export const nowMoment = (): string => new Date().toISOString()
