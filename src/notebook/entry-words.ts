// What an entry is about, in a few words, for lists.

import type { Entry, Json } from './types.ts'

export const entryWords = ({ kind, payload }: Entry): string => {
  const held = payload as Record<string, Json> & { readonly entry?: Record<string, Json> }
  if (kind === 'trial') {
    const inner = held.entry ?? {}
    const about = inner.kind === 'trial' ? `${inner.piece}, ${inner.setting} at ${inner.levels}` : (inner.note ?? '')
    return `${inner.kind} ${inner.id}${about ? `: ${about}` : ''}`
  }
  if (kind === 'examination') return `${held.fileName}: ${held.verdict}`
  if (kind === 'withdrawal') return `of ${String(held.of).slice(0, 10)}${held.note ? `: ${held.note}` : ''}`
  return String(held.name ?? held.text ?? '')
}
