// Pictures that are drawn one after another, a few at a time, so that many that change at once do not hold the page up.

import { useSignal } from '@preact/signals'
import { useLayoutEffect, useMemo } from 'preact/hooks'
import { isPrinting } from '../state.ts'

/** Pictures are drawn until this time is used up, then the page comes first, ms. */
const BUDGET_MS = 6

const jobs = new Set<() => void>()
let isGoing = false

const drawSome = (): void => {
  const start = performance.now()
  for (const job of jobs) {
    jobs.delete(job)
    job()
    if (performance.now() - start > BUDGET_MS) break
  }
  isGoing = jobs.size > 0
  if (isGoing) setTimeout(drawSome, 0)
}

const drawLater = (job: () => void): (() => void) => {
  jobs.add(job)
  if (!isGoing) setTimeout(drawSome, 0)
  isGoing = true
  return () => jobs.delete(job)
}

/** What `make` makes of these things, a little later; until then what it made before, at first nothing. On paper at once. */
export const useDrawnLater = (make: () => string, of: readonly unknown[]): string => {
  const drawn = useSignal('')
  const onPaper = isPrinting.value
  useLayoutEffect(() => {
    if (onPaper) return
    return drawLater(() => {
      drawn.value = make()
    })
  }, [...of, onPaper])
  const atOnce = useMemo(() => (onPaper ? make() : ''), [...of, onPaper])
  return onPaper ? atOnce : drawn.value
}
