// The worker that examines: holds one examiner, so that a changed setting recomputes only what depends on it.

import wasmUrl from 'manifold-3d/manifold.wasm?url'
import { createExaminer, type Examination } from '../engine/examine/index.ts'
import type { Task } from '../engine/kernel/index.ts'
import { loadPolygonKit } from '../pool/polygon-kit-browser.ts'
import { serveMethods } from '../pool/worker-side.ts'
import { displaySurface } from './display-surface.ts'
import type { ExamineAnswer, ExamineOrder, SheetParts } from './messages.ts'
import { printFacts } from './print-facts.ts'

const examiner = loadPolygonKit(wasmUrl).then(createExaminer)

/** Bytes of the last few files, so that the examiner sees the same array again and reads no file twice. */
const files = new Map<string, Uint8Array>()
const MOST_FILES = 3

const sameBytes = ({ key, bytes }: ExamineOrder): Uint8Array => {
  const known = files.get(key)
  if (known) return known
  files.set(key, bytes)
  if (files.size > MOST_FILES) files.delete(files.keys().next().value as string)
  return bytes
}

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
    if (known.figure && (sent.get('figure') !== known.figure || (thickness && sent.get('thickness') !== thickness))) {
      const { mesh, ...facts } = known.figure
      parts.figure = facts
      parts.surface = displaySurface(mesh, thickness)
      sent.set('figure', known.figure)
      sent.set('thickness', thickness)
    }
    if (known.print && sent.get('print') !== known.print) {
      parts.printed = printFacts(known.print)
      sent.set('print', known.print)
    }
    if (Object.keys(parts).length) send(parts as SheetParts)
  }
}

const examine = async (
  order: ExamineOrder,
  task: Task,
  sendPartial: (part: unknown) => void,
): Promise<ExamineAnswer> => {
  const send = partSender(sendPartial)
  const outcome = await (await examiner).examine(sameBytes(order), order.name, order.settings, {
    ...task,
    onPartial: send,
  })
  if (!outcome.ok) return { ok: false, issues: outcome.issues }
  send(outcome.value)
  return { ok: true, notes: outcome.notes }
}

serveMethods({ examine })
