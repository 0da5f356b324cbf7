// Sends a step to the worker and lays what comes back on the sheet, part by part.

import { batch } from '@preact/signals'
import { Cancelled } from '../engine/kernel/index.ts'
import { afterStep, type Step } from './history.ts'
import { keepSheet, keptSheet } from './kept-sheets.ts'
import { partQueue } from './lay-parts.ts'
import { withUnchanged } from './log/unchanged-tracks.ts'
import type { SheetParts } from './messages.ts'
import * as state from './state.ts'
import { orderForSheet } from './work/order.ts'

let stopper: AbortController | null = null

const showParts = (parts: SheetParts, isFresh: boolean): void => {
  batch(() => {
    const isFirst = isFresh || !state.hasShown.value
    const tracks = parts.tracks ? { tracks: withUnchanged(parts.tracks, state.sheet.value.tracks) } : {}
    state.sheet.value = { ...(isFresh ? {} : state.sheet.value), ...parts, ...tracks }
    if (isFirst && state.hasShown.value) state.startHeight()
  })
}

const say = (text: string): void => {
  state.said.value = text
}

/** Runs a step. Resolves true when the sheet is whole, false when it was stopped or could not be made. */
const run = async (step: Step): Promise<boolean> => {
  stopper?.abort()
  const mine = new AbortController()
  stopper = mine
  batch(() => {
    state.troubles.value = []
    state.chosen.value = null
    state.showsAll.value = false
    state.isWhole.value = false
  })
  const ready = keptSheet(step)
  if (ready) {
    batch(() => {
      showParts(ready, true)
      state.progress.value = null
      state.isWhole.value = true
    })
    say(`Sheet of ${step.source.name} is shown. ${ready.summary?.verdict ?? ''}`)
    return true
  }
  state.progress.value = { share: 0, doing: 'reading the file' }
  let isFresh = true
  const queue = partQueue((piece) => {
    if (stopper !== mine) return false
    showParts(piece, isFresh)
    isFresh = false
    return true
  })
  try {
    const { source, settings, code } = step
    const figure = { key: source.id, name: source.name, bytes: await source.bytes() }
    const file = code ? { key: code.id, name: code.name, bytes: await code.bytes() } : null
    const job = {
      // Bytes of a file are read afresh each time, so they are moved; those of the crew are kept, so they are copied.
      transfer: [source.id.startsWith('file ') ? figure : null, file].flatMap((one) =>
        one ? [one.bytes.buffer as ArrayBuffer] : [],
      ),
      signal: mine.signal,
      onProgress: (share: number, doing: string) => {
        if (stopper === mine) state.progress.value = { share, doing }
      },
      onPartial: (part: unknown) => {
        if (stopper === mine) queue.take(part as SheetParts)
      },
    }
    const answer = file
      ? await orderForSheet('readPrintFile', { code: file, figure, settings }, job)
      : await orderForSheet('examine', { ...figure, settings }, job)
    await queue.whole()
    if (stopper !== mine) return false
    if (!answer.ok) {
      state.troubles.value = answer.issues.map(({ message }) => message)
      say(`${(step.code ?? step.source).name} could not be examined.`)
      return false
    }
    keepSheet(step, state.sheet.value)
    state.isWhole.value = true
    say(`Examined. ${state.sheet.value.summary?.verdict ?? ''}`)
    return true
  } catch (fault) {
    if (stopper !== mine) return false
    if (fault instanceof Cancelled) say('Stopped. What is on the sheet is partial.')
    else {
      const why = fault instanceof Error ? fault.message : String(fault)
      state.troubles.value = [`The examination broke off: ${why}. Try again, or open another file.`]
    }
    return false
  } finally {
    if (stopper === mine) state.progress.value = null
  }
}

/** Takes a new step: it becomes the last of the history. A step that comes to nothing is no step: the sheet before it returns. */
export const takeStep = async (next: Step): Promise<void> => {
  const [before, at] = [state.steps.value, state.stepAt.value]
  const wasWhole = state.isWhole.value
  batch(() => {
    state.steps.value = afterStep(before, at, next)
    state.stepAt.value = at + 1
  })
  const mineAt = at + 1
  const isDone = await run(next)
  if (isDone || state.steps.value[state.stepAt.value] !== next || state.stepAt.value !== mineAt) return
  const former = before[at]
  if (!former || !wasWhole) return
  const troubles = state.troubles.value
  const words = state.said.value
  batch(() => {
    state.steps.value = before
    state.stepAt.value = at
  })
  await run(former)
  state.troubles.value = troubles
  say(words)
}

/** Walks to a step of the history. */
export const walkTo = async (at: number): Promise<void> => {
  const step = state.steps.value[at]
  if (!step || at === state.stepAt.value) return
  state.stepAt.value = at
  await run(step)
}

/** Takes up steps that were kept, at one of them. Resolves as a run does. */
export const resume = (steps: readonly Step[], at: number): Promise<boolean> => {
  batch(() => {
    state.steps.value = steps
    state.stepAt.value = at
  })
  return run(steps[at])
}

/** Stops what is being worked out. */
export const stop = (): void => stopper?.abort()

export const isRunning = (): boolean => state.progress.value !== null
