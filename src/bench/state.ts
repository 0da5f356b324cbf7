// What the bench knows, as signals: the sheet that is shown, where it is scrubbed, what is going on.

import { batch, computed, signal } from '@preact/signals'
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

/** True while the sheet is laid out for paper. */
export const isPrinting = signal(false)
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

/** Height that was set by a click, a key or a finding, mm above the bed. */
export const settledMm = signal(0)
/** Height under the pointer while it moves over the drawing; null when it is elsewhere. */
export const glanceMm = signal<number | null>(null)
/** False while the height is the one every sheet starts with. */
const isHeightSet = signal(false)
/** On paper: the height that was set, else that of the gravest finding. */
const paperMm = computed(() => {
  const gravest = sheet.value.findings?.[0]
  return isHeightSet.value || !gravest ? settledMm.value : onFigure(gravest.place.point[2])
})
/** Height that is looked at, mm above the bed: where the pointer is, else where it was set. */
export const scrubMm = computed(() => (isPrinting.value ? paperMm.value : (glanceMm.value ?? settledMm.value)))
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

const onFigure = (mm: number): number => Math.min(Math.max(0, mm), Math.max(0, topMm.value - 1e-6))

/** Sets the height that is looked at, kept on the figure. */
export const scrubTo = (mm: number): void => {
  batch(() => {
    isHeightSet.value = true
    settledMm.value = onFigure(mm)
    glanceMm.value = null
  })
}

/** The height a new sheet is first looked at: the one before, kept on the figure, or one in its upper part. */
export const startHeight = (): void => {
  settledMm.value = onFigure(settledMm.value > 0 ? settledMm.value : 0.6 * topMm.value)
}

/** Looks at a height while the pointer is there; null goes back to the one that was set. */
export const glanceAt = (mm: number | null): void => {
  glanceMm.value = mm === null ? null : onFigure(mm)
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
