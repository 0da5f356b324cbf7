// What the bench knows, as signals: the sheet that is shown, where it is scrubbed, what is going on.

import { computed, signal } from '@preact/signals'
import { layerAtHeight } from '../engine/kernel/index.ts'
import type { Step } from './history.ts'
import type { SheetParts } from './messages.ts'

/** A figure that can be opened: one of the crew, or a file that was handed in. */
export interface Source {
  readonly id: string
  readonly name: string
  readonly story: string
  readonly soleToEyeMm: number | null
  readonly bytes: () => Promise<Uint8Array>
  /** The file itself, where one was handed in. */
  readonly file?: Blob
}

export interface Progress {
  readonly share: number
  readonly doing: string
}

/** Parts of the sheet that are known so far. */
export const sheet = signal<SheetParts>({})
/** False while parts are still to come, or when they were stopped. */
export const isWhole = signal(false)
export const progress = signal<Progress | null>(null)
/** Sentences about what went wrong, newest run only. */
export const troubles = signal<readonly string[]>([])
/** Sentence for screen readers about what just happened. */
export const said = signal('')
/** Figures that can be chosen. */
export const sources = signal<readonly Source[]>([])
export const steps = signal<readonly Step[]>([])
export const stepAt = signal(-1)
export const step = computed<Step | null>(() => steps.value[stepAt.value] ?? null)

/** Height that is looked at, mm above the bed. */
export const scrubMm = signal(0)
/** Turn of the figure about its vertical axis, radians. */
export const turn = signal(0)
/** What is laid over the figure: id of a quantity of the surface, or of a track for its value in each layer; empty for nothing. */
export const paint = signal('')
/** Finding that is looked at, by id. */
export const chosen = signal<string | null>(null)
/** True when the list of findings is shown to its end. */
export const showsAll = signal(false)
export const dialog = signal<'none' | 'settings' | 'keys' | 'tracks'>('none')
export const isDragging = signal(false)
export const isPrinting = signal(false)
export const isKeptOffline = signal(false)

export type Theme = 'auto' | 'light' | 'dark'
export const theme = signal<Theme>('auto')

/** Layer at the scrubbed height, -1 while there is none. */
export const layer = computed(() => {
  const { layers } = sheet.value
  return layers && layers.nLayers > 0 ? layerAtHeight(layers.faceZ, scrubMm.value) : -1
})
/** Height of what is shown, mm: of the figure, or of the layers of a print file. */
export const topMm = computed(() => {
  const { figure, layers } = sheet.value
  return figure?.max[2] ?? layers?.faceZ[layers.nLayers] ?? 0
})
/** True when there is something to look at. */
export const hasShown = computed(() => topMm.value > 0)

/** Sets the scrubbed height, kept on the figure. */
export const scrubTo = (mm: number): void => {
  scrubMm.value = Math.min(Math.max(0, mm), Math.max(0, topMm.value - 1e-6))
}

/** Moves the scrubbed height by whole layers, to the middle of one. */
export const scrubByLayers = (n: number): void => {
  const { layers } = sheet.value
  if (!layers || layer.value < 0) return
  const next = Math.min(layers.nLayers - 1, Math.max(0, layer.value + n))
  scrubTo((layers.faceZ[next] + layers.faceZ[next + 1]) / 2)
}

/** Looks at a finding: marks it and scrubs to its place. */
export const lookAt = (id: string): void => {
  const finding = sheet.value.findings?.find((one) => one.id === id)
  if (!finding) return
  chosen.value = id
  scrubTo(finding.place.point[2])
}
