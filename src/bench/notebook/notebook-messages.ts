// What the bench asks of its notebook, and what it is told.

import type { Issue } from '../../engine/kernel/index.ts'
import type { Draft, EntryKind, Merged } from '../../notebook/index.ts'
import type { TrialsRecord } from '../../trials/index.ts'

/** One line of the list. */
export interface ListedEntry {
  readonly id: string
  readonly kind: EntryKind
  readonly at: string
  readonly words: string
  readonly isWithdrawn: boolean
  /** True for the withdrawal of something, which can itself be withdrawn. */
  readonly withdraws: string | null
}

/** Orders by name: what goes along, what comes back. */
export interface NotebookOrders {
  readonly list: { readonly takes: null; readonly gives: readonly ListedEntry[] }
  readonly add: { readonly takes: { readonly drafts: readonly Draft[]; readonly at: string }; readonly gives: number }
  readonly addTrials: { readonly takes: TrialsRecord; readonly gives: number }
  readonly trials: { readonly takes: null; readonly gives: TrialsRecord }
  readonly withdraw: { readonly takes: { readonly id: string; readonly at: string }; readonly gives: null }
  readonly payload: { readonly takes: string; readonly gives: unknown }
  readonly bytes: { readonly takes: string; readonly gives: Uint8Array<ArrayBuffer> }
  readonly export: { readonly takes: null; readonly gives: Uint8Array<ArrayBuffer> }
  readonly import: { readonly takes: Uint8Array; readonly gives: Merged }
  readonly close: { readonly takes: null; readonly gives: null }
  readonly deleteAll: { readonly takes: null; readonly gives: null }
}

export type OrderName = keyof NotebookOrders

export interface NotebookOrder {
  readonly number: number
  readonly name: OrderName
  readonly takes: unknown
}

export type NotebookAnswer =
  | { readonly number: number; readonly ok: true; readonly value: unknown; readonly notes: readonly Issue[] }
  | { readonly number: number; readonly ok: false; readonly issues: readonly Issue[] }
