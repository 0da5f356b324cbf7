// A piece of work as a page shows it: progress, answer, trouble, stop. It outlives the page, so that one can look at the sheet meanwhile.

import { type ReadonlySignal, type Signal, signal } from '@preact/signals'
import { Cancelled } from '../../engine/kernel/index.ts'
import type { Progress } from '../state.ts'
import { endPageWorker, orderForPage, orderForSheet } from './order.ts'
import type { AnswerOf, InputOf, WorkName } from './work-table.ts'

export interface Work<N extends WorkName> {
  readonly progress: ReadonlySignal<Progress | null>
  /** The last answer, with what `run` was told it belongs to. */
  readonly answer: ReadonlySignal<{ readonly of: string; readonly value: AnswerOf<N> } | null>
  /** The last thing sent on the way to the answer. */
  readonly partial: ReadonlySignal<unknown>
  /** Why it broke off, one sentence; empty otherwise. */
  readonly trouble: ReadonlySignal<string>
  /** Starts it, stopping what is running. Null when it was stopped or broke off. @param of what the answer belongs to, e.g. bench.key */
  readonly run: (input: InputOf<N>, of?: string) => Promise<AnswerOf<N> | null>
  readonly stop: () => void
}

const all = new Map<string, { readonly progress: Signal<Progress | null> }>()

const createWork = <N extends WorkName>(name: N, order: typeof orderForPage): Work<N> => {
  const progress = signal<Progress | null>(null)
  const answer = signal<{ readonly of: string; readonly value: AnswerOf<N> } | null>(null)
  const partial = signal<unknown>(null)
  const trouble = signal('')
  let stopper: AbortController | null = null
  const run = async (input: InputOf<N>, of = ''): Promise<AnswerOf<N> | null> => {
    stopper?.abort()
    const mine = new AbortController()
    stopper = mine
    trouble.value = ''
    partial.value = null
    progress.value = { share: 0, doing: 'starting' }
    try {
      const value = await order(name, input, {
        signal: mine.signal,
        onProgress: (share, doing) => {
          if (stopper === mine) progress.value = { share, doing }
        },
        onPartial: (part) => {
          if (stopper === mine) partial.value = part
        },
      })
      if (stopper !== mine) return null
      answer.value = { of, value }
      return value
    } catch (fault) {
      if (stopper === mine && !(fault instanceof Cancelled))
        trouble.value = `It broke off: ${fault instanceof Error ? fault.message : String(fault)}. Try again.`
      return null
    } finally {
      if (stopper === mine) progress.value = null
    }
  }
  return { progress, answer, partial, trouble, run, stop: () => stopper?.abort() }
}

/**
 * The work of a name: the same each time, with whatever it has come to.
 * @param where the pages' own worker, or the sheet's: there the examination is known already, but the sheet waits
 */
export const workOf = <N extends WorkName>(name: N, where: 'page' | 'sheet' = 'page'): Work<N> => {
  const known = all.get(name) as Work<N> | undefined
  if (known) return known
  const made = createWork(name, where === 'page' ? orderForPage : orderForSheet)
  all.set(name, made as unknown as { readonly progress: Signal<Progress | null> })
  return made
}

/** Gives the pages' worker back unless something still runs in it. */
export const restPageWorker = (): void => {
  if (![...all.values()].some(({ progress }) => progress.peek())) endPageWorker()
}
