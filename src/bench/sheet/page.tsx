// A page that opens over the sheet.

import type { ComponentChildren } from 'preact'
import { useLayoutEffect, useRef } from 'preact/hooks'
import { dialog } from '../state.ts'

/** Closes whichever page is open. */
export const closePage = (): void => {
  dialog.value = 'none'
}

/** A titled page with its way out. */
export const Page = ({ title, children }: { title: string; children: ComponentChildren }) => {
  const page = useRef<HTMLDialogElement>(null)
  // Before the next key can come: Escape belongs to the page that is open.
  useLayoutEffect(() => {
    page.current?.showModal()
  }, [])
  return (
    <dialog ref={page} class="page" aria-labelledby="page-title" onClose={closePage}>
      <div class="page-head">
        <h2 id="page-title">{title}</h2>
        <button type="button" onClick={closePage}>
          Close
        </button>
      </div>
      {children}
    </dialog>
  )
}
