// One text for one value: keys in order, no spaces. Ids of entries are hashes of it.

import { sha256 } from './sha256.ts'
import type { Json } from './types.ts'

/** JSON with the keys of every object in code-unit order; the same value gives the same text on every machine. */
export const canonicalJson = (value: Json): string => {
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(',')}]`
  if (typeof value !== 'object' || value === null) return JSON.stringify(value)
  const keys = Object.keys(value).sort()
  return `{${keys.map((key) => `${JSON.stringify(key)}:${canonicalJson((value as Record<string, Json>)[key])}`).join(',')}}`
}

/** Hash of a value's canonical text. */
export const hashOfValue = (value: Json): string => sha256(new TextEncoder().encode(canonicalJson(value)))

/** Id of an entry: the hash of its kind, moment and payload. */
export const entryId = (kind: string, at: string, payload: Json): string => hashOfValue({ kind, at, payload })
