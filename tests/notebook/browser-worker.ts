// What the browser test runs in a worker, so that it can be ended at any moment. Orders come as messages, facts go back as messages.

import { type BrowserNotebook, openBrowserNotebook } from '../../src/notebook/browser.ts'
import { addEntry, bytesOf, history, notebookHash } from '../../src/notebook/index.ts'

const place = globalThis as unknown as {
  postMessage: (message: unknown) => void
  onmessage: ((event: { readonly data: Order }) => void) | null
}

interface Order {
  readonly do: 'open' | 'add' | 'large' | 'look' | 'export' | 'import' | 'bytes' | 'close' | 'delete all'
  readonly texts?: readonly string[]
  readonly bytes?: Uint8Array
  readonly hash?: string
}

let notebook: BrowserNotebook | null = null

const answer = async (order: Order): Promise<unknown> => {
  if (order.do === 'open') {
    const opened = await openBrowserNotebook()
    if (!opened.ok) return { refused: opened.issues[0].code, message: opened.issues[0].message }
    notebook = opened.value
    return { open: true }
  }
  if (!notebook) throw new Error('not open')
  const { store } = notebook
  switch (order.do) {
    case 'add':
      return order.texts!.map((text, i) => {
        const at = new Date(Date.UTC(2026, 10, 25, 18, 0, i)).toISOString()
        const added = addEntry(store, { kind: 'note', payload: { of: null, text } }, at)
        if (!added.ok) throw new Error(added.issues[0].message)
        return added.value.entry.id
      })
    case 'large':
      // One transaction of many pages that is never confirmed, with too little memory to hold it.
      store.exec('PRAGMA cache_size = 5')
      store.exec('BEGIN IMMEDIATE')
      for (let i = 0; ; i++) {
        store.run("INSERT INTO entry (id, kind, at, content, payload) VALUES (?, 'note', '', '', ?)", [
          `half ${i}`,
          'x'.repeat(3000),
        ])
        if (i % 100 === 0) place.postMessage({ pages: i })
      }
    case 'look':
      return {
        ids: history(store).map(({ id }) => id),
        hash: notebookHash(store),
        whole: store.all('PRAGMA integrity_check')[0],
      }
    case 'export': {
      const made = notebook.exportBytes()
      if (!made.ok) throw new Error(made.issues[0].message)
      return made.value
    }
    case 'import':
      return notebook.importBytes(order.bytes!)
    case 'bytes':
      return bytesOf(store, order.hash!)
    case 'close':
      notebook.close()
      return null
    case 'delete all':
      await notebook.deleteAll()
      return null
  }
}

place.onmessage = ({ data }) => {
  answer(data).then(
    (value) => place.postMessage({ answer: value }),
    (fault: unknown) => place.postMessage({ fault: String(fault) }),
  )
}
