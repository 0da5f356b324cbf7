// The last few files that were handed in, kept in this browser's own database so that a reload finds them; never sent anywhere.

const NAME = 'fettle files'
/** Bytes apart from what is said of them, so that choosing what to let go reads no file. */
const FILES = 'files'
const FACTS = 'facts'
const MOST_FILES = 4
const MOST_BYTES = 300 * 2 ** 20

interface KeptFacts {
  readonly id: string
  readonly nBytes: number
  /** When it was last opened, ms: the oldest goes first. */
  readonly at: number
}

const asked = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error)
  })

const withStores = async <T>(
  mode: IDBTransactionMode,
  act: (files: IDBObjectStore, facts: IDBObjectStore) => Promise<T>,
): Promise<T> => {
  const opening = indexedDB.open(NAME, 1)
  opening.onupgradeneeded = () => {
    opening.result.createObjectStore(FILES)
    opening.result.createObjectStore(FACTS, { keyPath: 'id' })
  }
  const database = await asked(opening)
  // Another tab may want to delete or renew the database: it must not wait for this one.
  database.onversionchange = () => database.close()
  try {
    const transaction = database.transaction([FILES, FACTS], mode)
    return await act(transaction.objectStore(FILES), transaction.objectStore(FACTS))
  } finally {
    database.close()
  }
}

/** Keeps a file, and lets the oldest go where there are too many. Where the browser keeps nothing, nothing happens. */
export const keepFile = async (id: string, file: Blob): Promise<void> => {
  if (file.size > MOST_BYTES) return
  try {
    await withStores('readwrite', async (files, facts) => {
      const kept = (await asked(facts.getAll())) as KeptFacts[]
      let total = file.size
      for (const [k, other] of kept
        .filter((one) => one.id !== id)
        .sort((a, b) => b.at - a.at)
        .entries()) {
        total += other.nBytes
        if (k + 1 < MOST_FILES && total <= MOST_BYTES) continue
        await asked(files.delete(other.id))
        await asked(facts.delete(other.id))
      }
      const own: KeptFacts = { id, nBytes: file.size, at: Date.now() }
      await asked(facts.put(own))
      await asked(files.put(file, id))
    })
  } catch {
    // Private windows and full disks refuse; a reload then starts with the crew.
  }
}

/** Bytes of a kept file; null when it is not there. */
export const keptFile = async (id: string): Promise<Uint8Array | null> => {
  try {
    const found = (await withStores('readonly', (files) => asked(files.get(id)))) as Blob | undefined
    return found ? new Uint8Array(await found.arrayBuffer()) : null
  } catch {
    return null
  }
}

/** Forgets all kept files. */
export const forgetFiles = async (): Promise<void> => {
  try {
    await withStores('readwrite', async (files, facts) => {
      await asked(files.clear())
      await asked(facts.clear())
    })
  } catch {
    // Nothing was kept.
  }
}
