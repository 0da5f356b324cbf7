// A page beside the sheet: its question at the top, the way back, and its own content once it has come.

import { useSignal } from '@preact/signals'
import type { ComponentType } from 'preact'
import { useEffect, useRef } from 'preact/hooks'
import { isWhole, sheet } from '../state.ts'
import { type Bench, bench } from './bench.ts'
import { leavePage } from './page-place.ts'
import type { BenchPage } from './page-table.ts'
import './page.css'

type Content = ComponentType<{ readonly bench: Bench }>
const loaded = new Map<string, Content>()

/** What is still missing before the page can show anything; empty when nothing is. */
const missing = ({ needs }: BenchPage): string => {
  if (needs === 'a figure' && !sheet.value.figure) return 'The figure is still being read.'
  if (needs === 'the whole sheet' && !isWhole.value)
    return 'The sheet must be whole first; it is still being worked out.'
  return ''
}

export const PageFrame = ({ page }: { page: BenchPage }) => {
  const Content = useSignal<Content | null>(loaded.get(page.id) ?? null)
  const trouble = useSignal('')
  const title = useRef<HTMLHeadingElement>(null)
  useEffect(() => {
    title.current?.focus()
  }, [page.id])
  const fetchContent = () => {
    trouble.value = ''
    page.load().then(
      (module) => {
        loaded.set(page.id, module.default)
        Content.value = module.default
      },
      () => {
        trouble.value = 'This page could not be fetched: the network is away and the browser has not kept it yet.'
      },
    )
  }
  useEffect(() => {
    if (!Content.value) fetchContent()
  }, [page.id])
  const waits = missing(page)
  const Shown = Content.value
  return (
    <section class="beside" aria-labelledby="beside-title">
      <div class="beside-head">
        <div>
          <h2 id="beside-title" ref={title} tabIndex={-1}>
            {page.name}
          </h2>
          <p class="question">{page.question}</p>
        </div>
        <button type="button" onClick={leavePage}>
          Back to the sheet
        </button>
      </div>
      {trouble.value ? (
        <p role="alert">
          {trouble.value}{' '}
          <button type="button" onClick={fetchContent}>
            Try again
          </button>
        </p>
      ) : waits ? (
        <p class="faint">{waits}</p>
      ) : Shown ? (
        <Shown bench={bench} />
      ) : (
        <p class="faint">The page is being fetched.</p>
      )}
    </section>
  )
}
