// The sheet that is held as A while B is tried.

import { computed, signal } from '@preact/signals'
import { Cancelled } from '../../engine/kernel/index.ts'
import { takeStep, walkTo } from '../examine-run.ts'
import { type Step, stepKey } from '../history.ts'
import { keepSheet, keptSheet } from '../kept-sheets.ts'
import type { SheetParts } from '../messages.ts'
import * as state from '../state.ts'
import { orderForPage } from '../work/order.ts'
import { restPageWorker } from '../work/work.ts'

export interface Held {
  readonly step: Step
  readonly parts: SheetParts
}

/** A; null when nothing is held. */
export const held = signal<Held | null>(null)
/** A that is being worked out. */
export const comingUp = signal<{ readonly step: Step; readonly share: number; readonly doing: string } | null>(null)
/** True when A and B are the same figure with the same settings. */
export const isSameAsShown = computed(
  () => !!held.value && !!state.step.value && stepKey(held.value.step) === stepKey(state.step.value),
)

let stopper: AbortController | null = null

/** Starts a comparison: the step before is A and what is shown is B; without a step before, what is shown becomes A. */
export const compare = (): void => {
  const step = state.step.value
  if (!step || !state.isWhole.value) return
  const before = state.steps.value[state.stepAt.value - 1]
  if (before) {
    state.said.value = `A is ${before.label}, B is ${step.label}.`
    void holdStep(before)
    return
  }
  held.value = { step, parts: state.sheet.value }
  state.said.value = `Held as A: ${step.label}. Try something: it becomes B.`
}

/** Lets A go. */
export const letGo = (): void => {
  stopper?.abort()
  comingUp.value = null
  held.value = null
}

/** Holds a step of the history; its sheet is worked out beside the one that is shown where it is not kept. */
export const holdStep = async (step: Step): Promise<void> => {
  stopper?.abort()
  const ready = keptSheet(step)
  if (ready) {
    comingUp.value = null
    held.value = { step, parts: ready }
    return
  }
  const mine = new AbortController()
  stopper = mine
  comingUp.value = { step, share: 0, doing: 'reading the file' }
  let parts: SheetParts = {}
  try {
    const { id, name, bytes } = step.source
    const order = { key: id, name, bytes: await bytes(), settings: step.settings }
    const answer = await orderForPage('examine', order, {
      signal: mine.signal,
      onProgress: (share, doing) => {
        if (stopper === mine) comingUp.value = { step, share, doing }
      },
      onPartial: (part) => {
        parts = { ...parts, ...(part as SheetParts) }
      },
    })
    if (stopper !== mine) return
    if (answer.ok) {
      keepSheet(step, parts)
      held.value = { step, parts }
    } else state.troubles.value = answer.issues.map(({ message }) => message)
  } catch (fault) {
    if (stopper === mine && !(fault instanceof Cancelled))
      state.troubles.value = [`A could not be worked out: ${fault instanceof Error ? fault.message : String(fault)}.`]
  } finally {
    if (stopper === mine) comingUp.value = null
    restPageWorker()
  }
}

/** Shows A and holds what was shown. */
export const swap = async (): Promise<void> => {
  const a = held.value
  const step = state.step.value
  if (!a || !step || !state.isWhole.value) return
  const shown = { step, parts: state.sheet.value }
  keepSheet(a.step, a.parts)
  held.value = shown
  const key = stepKey(a.step)
  const at = state.steps.value.findIndex((one) => stepKey(one) === key)
  await (at >= 0 ? walkTo(at) : takeStep(a.step))
}
