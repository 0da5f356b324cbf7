// The last few files that were handed in, kept in this browser's own database so that a reload finds them; never sent anywhere.

const NAME = 'fettle files'
const STORE = 'files'
const MOST_FILES = 4
const MOST_BYTES = 300 * 2 ** 20

interface KeptFile {
  readonly id: string
  readonly name: string
  readonly bytes: ArrayBuffer
  /** When it was last opened, ms: the oldest goes first. */
  readonly at: number
}

const asked = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error)
  })

const withStore = async <T>(mode: IDBTransactionMode, act: (store: IDBObjectStore) => Promise<T>): Promise<T> => {
  const opening = indexedDB.open(NAME, 1)
  opening.onupgradeneeded = () => opening.result.createObjectStore(STORE, { keyPath: 'id' })
  const database = await asked(opening)
  // Another tab may want to delete or renew the database: it must not wait for this one.
  database.onversionchange = () => database.close()
  try {
    return await act(database.transaction(STORE, mode).objectStore(STORE))
  } finally {
    database.close()
  }
}

/** Keeps a file, and lets the oldest go where there are too many. Where the browser keeps nothing, nothing happens. */
export const keepFile = async (id: string, name: string, bytes: Uint8Array): Promise<void> => {
  if (bytes.byteLength > MOST_BYTES) return
  try {
    await withStore('readwrite', async (store) => {
      const kept = (await asked(store.getAll())) as KeptFile[]
      const own: KeptFile = { id, name, bytes: bytes.slice().buffer as ArrayBuffer, at: Date.now() }
      const others = kept.filter((file) => file.id !== id).sort((a, b) => b.at - a.at)
      let total = own.bytes.byteLength
      for (const [k, file] of others.entries()) {
        total += file.bytes.byteLength
        if (k + 1 >= MOST_FILES || total > MOST_BYTES) await asked(store.delete(file.id))
      }
      await asked(store.put(own))
    })
  } catch {
    // Private windows and full disks refuse; a reload then starts with the crew.
  }
}

/** Bytes of a kept file; null when it is not there. */
export const keptFile = async (id: string): Promise<Uint8Array | null> => {
  try {
    const found = (await withStore('readonly', (store) => asked(store.get(id)))) as KeptFile | undefined
    return found ? new Uint8Array(found.bytes) : null
  } catch {
    return null
  }
}

/** Forgets all kept files. */
export const forgetFiles = async (): Promise<void> => {
  try {
    await withStore('readwrite', (store) => asked(store.clear()))
  } catch {
    // Nothing was kept.
  }
}
