// Which page is open. It stands in the address, so that a page can be linked to, reloaded, and left by the browser's own way back.

import { signal } from '@preact/signals'
import { addressWord, setAddress } from '../address.ts'

/** Id of the open page; null for the sheet. */
export const pageId = signal<string | null>(null)

const go = (id: string | null): void => {
  if (id === pageId.value) return
  setAddress({ page: id }, true)
  pageId.value = id
  scrollTo(0, 0)
}

export const openPage = (id: string): void => go(id)
export const leavePage = (): void => go(null)

/** Follows the address from now on. @param known ids of the pages that there are */
export const followPageAddress = (known: ReadonlySet<string>): void => {
  const follow = () => {
    const id = addressWord('page')
    pageId.value = id && known.has(id) ? id : null
  }
  addEventListener('popstate', follow)
  addEventListener('hashchange', follow)
  follow()
}
