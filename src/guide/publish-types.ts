// What a guide is made from. All of it is handed in, the day too, so that the same input gives the same page.

import type { Examination } from '../engine/examine/index.ts'
import type { FilamentCard, PrinterCard, Recipe } from '../recipe/index.ts'
import type { TrialsRecord } from '../trials/index.ts'
import type { CleanPhoto } from './photo-clean.ts'
import type { GuideAbout } from './publish-about.ts'
import type { SheetSource } from './sheet-json.ts'

/** The parts of an examination that a guide shows. */
export interface GuideExamination extends Pick<Examination, 'summary' | 'layers' | 'findings'> {
  /** Highest point, mm. */
  readonly topMm: number
}

/** How the recipe changes on one other machine. */
export interface CarryTable {
  /** E.g. "direct feed, 0.25 mm nozzle". */
  readonly machine: string
  readonly lines: readonly { readonly words: string; readonly why: string }[]
  /** Numbers that should stay as they were, and whether they do. */
  readonly kept: readonly {
    readonly label: string
    readonly unit: string
    readonly before: number
    readonly after: number
    readonly isKept: boolean
  }[]
}

export interface PublishedPhoto {
  readonly photo: CleanPhoto
  readonly alt: string
  readonly caption: string
  readonly scale: string
}

export interface GuideContent {
  readonly about: GuideAbout
  readonly recipe: Recipe
  readonly printer: PrinterCard
  readonly filament: FilamentCard
  readonly examination: GuideExamination
  readonly source: SheetSource
  readonly trials: TrialsRecord
  readonly carried: readonly CarryTable[]
  readonly photos: readonly PublishedPhoto[]
  /** The sculpt's file, only when the person says so and may. */
  readonly sculpt: { readonly name: string; readonly bytes: Uint8Array } | null
  /** Paper the page sets itself; null leaves it to the printer. */
  readonly paper: 'A4' | 'Letter' | null
}

/** Largest page that is made or read. */
export const GUIDE_LIMITS = Object.freeze({
  pageCharacters: 80_000_000,
  dataCharacters: 2_000_000,
  photosBytes: 24_000_000,
  sculptBytes: 24_000_000,
})
