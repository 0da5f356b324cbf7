// The notebook's own worker: opens the store when the first order comes, and does one order after the other.

import { failed, good, type Outcome } from '../../engine/kernel/index.ts'
import { type BrowserNotebook, openBrowserNotebook } from '../../notebook/browser.ts'
import {
  addEntries,
  addTrials,
  bytesOf,
  bytesOfEntry,
  entryOf,
  entryWords,
  history,
  type SqlStore,
  trialsIn,
  withdraw,
  withdrawnIds,
} from '../../notebook/index.ts'
import type { ListedEntry, NotebookOrder, NotebookOrders, OrderName } from './notebook-messages.ts'

const place = globalThis as unknown as {
  postMessage: (message: unknown, transfer?: Transferable[]) => void
  onmessage: ((event: { readonly data: NotebookOrder }) => void) | null
}

let notebook: BrowserNotebook | null = null

const listed = (store: SqlStore): readonly ListedEntry[] => {
  const gone = withdrawnIds(store)
  return history(store).map((entry) => ({
    id: entry.id,
    kind: entry.kind,
    at: entry.at,
    words: entryWords(entry),
    isWithdrawn: gone.has(entry.id),
    withdraws: entry.kind === 'withdrawal' ? (entry.payload as { of: string }).of : null,
  }))
}

const noEntry = () => failed('notebook/no-entry', 'This entry is not in the notebook.')

type Does = {
  readonly [N in OrderName]: (
    takes: NotebookOrders[N]['takes'],
    held: BrowserNotebook,
  ) => Outcome<NotebookOrders[N]['gives']> | Promise<Outcome<NotebookOrders[N]['gives']>>
}

const DOES: Does = {
  list: (_, { store }) => good(listed(store)),
  add: ({ drafts, at }, { store }) => {
    const added = addEntries(
      store,
      drafts.map((draft) => ({ draft, at })),
    )
    return added.ok ? good(added.value.filter(({ isNew }) => isNew).length) : added
  },
  addTrials: (record, { store }) => {
    const added = addTrials(store, record)
    return added.ok ? good(added.value.newEntries) : added
  },
  trials: (_, { store }) => good(trialsIn(store)),
  withdraw: ({ id, at }, { store }) => {
    const done = withdraw(store, id, at)
    return done.ok ? good(null) : done
  },
  payload: (id, { store }) => {
    const entry = entryOf(store, id)
    return entry ? good(entry.payload) : noEntry()
  },
  bytes: (id, { store }) => {
    const entry = entryOf(store, id)
    const hash = entry && bytesOfEntry(entry)
    if (!hash) return noEntry()
    const bytes = bytesOf(store, hash)
    return bytes.ok ? good(bytes.value.slice()) : bytes
  },
  export: (_, held) => held.exportBytes(),
  import: (bytes, held) => held.importBytes(bytes),
  close: (_, held) => {
    held.close()
    notebook = null
    return good(null)
  },
  deleteAll: async (_, held) => {
    await held.deleteAll()
    notebook = null
    return good(null)
  },
}

const done = async ({ name, takes }: NotebookOrder): Promise<Outcome<unknown>> => {
  if (!notebook) {
    if (name === 'close') return good(null)
    const opened = await openBrowserNotebook()
    if (!opened.ok) return opened
    notebook = opened.value
  }
  return DOES[name](takes as never, notebook)
}

// One order after the other: opening takes a moment, and the next order must not open it a second time.
let before: Promise<void> = Promise.resolve()
place.onmessage = ({ data }) => {
  before = before.then(async () => {
    const outcome = await done(data).catch((fault: unknown) =>
      failed('notebook/store', `The notebook broke off: ${fault instanceof Error ? fault.message : String(fault)}.`),
    )
    const { number } = data
    place.postMessage(
      outcome.ok
        ? { number, ok: true, value: outcome.value, notes: outcome.notes }
        : { number, ok: false, issues: outcome.issues },
      outcome.ok && outcome.value instanceof Uint8Array ? [outcome.value.buffer as ArrayBuffer] : [],
    )
  })
}
