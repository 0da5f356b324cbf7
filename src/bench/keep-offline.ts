// Keeps the bench for use without a network: registers the service worker, then has the crew's files kept as well.

import { crewAddresses } from './crew-files.ts'
import { isKeptOffline } from './state.ts'

/** Resolves when all is kept, or at once where the browser cannot keep anything. */
export const keepForOffline = async (): Promise<void> => {
  if (!('serviceWorker' in navigator) || !isSecureContext) return
  try {
    await navigator.serviceWorker.register('service-worker.js')
    const { active } = await navigator.serviceWorker.ready
    if (!active) return
    navigator.serviceWorker.addEventListener('message', ({ data }) => {
      if (data?.kind === 'kept') isKeptOffline.value = data.all === true
    })
    active.postMessage({ kind: 'keep', addresses: crewAddresses() })
  } catch {
    // Private windows may refuse; the bench works without.
  }
}
