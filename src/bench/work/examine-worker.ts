// Examines a figure and sends the parts of its sheet as they become known.

import { type Examination, heatOverSurface } from '../../engine/examine/index.ts'
import { displaySurface } from '../display-surface.ts'
import type { ExamineAnswer, ExamineOrder, SheetParts, SurfaceQuantity } from '../messages.ts'
import { printFacts } from '../print-facts.ts'
import type { BenchWork } from './work-place.ts'

const SENT_AS_THEY_ARE = [
  'settings',
  'summary',
  'layers',
  'relations',
  'outlineThickness',
  'shellFit',
  'vanishing',
  'tracks',
  'findings',
] as const

/** What is known at every vertex of the figure's mesh and can be laid over it: one entry for each quantity of a room. */
const quantitiesOf = ({ surfaceThickness, surface, figure, heat, print }: Partial<Examination>): SurfaceQuantity[] => {
  const over = figure && heat && print ? heatOverSurface(heat, print, figure.mesh) : null
  const band = print?.filament
  const thickness: SurfaceQuantity[] = surfaceThickness
    ? [
        {
          id: 'thickness',
          name: 'thickness',
          unit: 'mm',
          values: surfaceThickness.perVertex,
          from: 0.2,
          to: 5,
          decimals: 1,
        },
      ]
    : []
  const shown: SurfaceQuantity[] = surface
    ? [
        ...thickness,
        {
          id: 'steps',
          name: 'steps',
          unit: 'µm',
          values: surface.steps.vertexUm,
          from: 0,
          to: 1000 * surface.steps.choices[0].layerHeightMm,
          decimals: 0,
        },
        {
          id: 'deviation',
          name: 'print against sculpt',
          unit: 'mm',
          values: surface.vertexDeviationMm,
          from: -0.1,
          to: 0.1,
          decimals: 2,
        },
      ]
    : thickness
  if (!over || !band) return shown
  return [
    ...shown,
    {
      id: 'landing',
      name: 'plastic it is laid on',
      unit: '°C',
      values: over.landingC,
      from: 30,
      to: band.softeningToC + 40,
      decimals: 0,
    },
    { id: 'soft-again', name: 'softened again', unit: 'mm', values: over.softDepthMm, from: 0, to: 1, decimals: 2 },
    {
      id: 'bond',
      name: 'bond between layers',
      unit: '%',
      values: over.bondShare.map((share) => 100 * share),
      from: 0,
      to: 100,
      decimals: 0,
    },
  ]
}

/** Sends every part once, when it is there and new. */
const partSender = (send: (parts: SheetParts) => void) => {
  const sent = new Map<string, unknown>()
  return (known: Partial<Examination>): void => {
    const parts: Record<string, unknown> = {}
    for (const key of SENT_AS_THEY_ARE) {
      if (known[key] === undefined || sent.get(key) === known[key]) continue
      sent.set(key, known[key])
      parts[key] = known[key]
    }
    const thickness = known.surfaceThickness?.perVertex ?? null
    const heat = known.heat?.full ?? null
    const look = known.surface ?? null
    const isNew = (key: string, value: unknown): boolean => Boolean(value) && sent.get(key) !== value
    const hasNew = isNew('thickness', thickness) || isNew('heat', heat) || isNew('look', look)
    if (known.figure && (isNew('figure', known.figure) || hasNew)) {
      const { mesh, ...facts } = known.figure
      parts.figure = facts
      parts.surface = displaySurface(mesh, quantitiesOf(known))
      sent.set('figure', known.figure)
      sent.set('thickness', thickness)
      sent.set('heat', heat)
      sent.set('look', look)
    }
    if (known.print && sent.get('print') !== known.print) {
      parts.printed = printFacts(known.print)
      sent.set('print', known.print)
    }
    if (Object.keys(parts).length) send(parts as SheetParts)
  }
}

const examine: BenchWork<ExamineOrder, ExamineAnswer> = async (order, { examiner, bytesOf, task, sendPartial }) => {
  const send = partSender(sendPartial)
  const outcome = await examiner.examine(bytesOf(order), order.name, order.settings, {
    ...task,
    heat: 'whole',
    onPartial: send,
  })
  if (!outcome.ok) return { ok: false, issues: outcome.issues }
  send(outcome.value)
  return { ok: true, notes: outcome.notes }
}

export default examine
