// Serves the bench from what the browser has kept, so that it works without a network. VERSION and FILES are written by the build.

const VERSION = '__VERSION__'
const FILES = ['__FILES__']
const STORE = `fettle ${VERSION}`

self.addEventListener('install', (event) => {
  event.waitUntil(
    caches
      .open(STORE)
      .then((store) => store.addAll(FILES.map((file) => new Request(file, { cache: 'reload' }))))
      .then(() => self.skipWaiting()),
  )
})

self.addEventListener('activate', (event) => {
  event.waitUntil(
    (async () => {
      for (const name of await caches.keys())
        if (name.startsWith('fettle ') && name !== STORE) await caches.delete(name)
      await self.clients.claim()
    })(),
  )
})

self.addEventListener('message', (event) => {
  if (event.data?.kind !== 'keep') return
  const keep = async () => {
    const store = await caches.open(STORE)
    let all = true
    for (const address of event.data.addresses) {
      if (await store.match(address)) continue
      try {
        await store.add(address)
      } catch {
        all = false
      }
    }
    event.source?.postMessage({ kind: 'kept', all })
  }
  event.waitUntil(keep())
})

self.addEventListener('fetch', (event) => {
  const { request } = event
  if (request.method !== 'GET' || new URL(request.url).origin !== self.location.origin) return
  event.respondWith(
    (async () => {
      const store = await caches.open(STORE)
      const address = request.mode === 'navigate' ? './' : request
      const kept = await store.match(address, { ignoreSearch: true })
      return kept ?? fetch(request)
    })(),
  )
})
