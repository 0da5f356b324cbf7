// What a file is that shall be kept in a notebook: told by content, as entries with their bytes.

import { cleanPhoto, readPublished } from '../guide/index.ts'
import {
  type Draft,
  ENTRY_KINDS,
  type EntryKind,
  type Json,
  NOTEBOOK_LIMITS,
  readSheet,
  sha256,
} from '../notebook/index.ts'
import { readTrials, type TrialsRecord } from '../trials/index.ts'
import { CommandTrouble, EXIT } from './exit-codes.ts'
import type { Input } from './read-input.ts'

/** What one file brings. */
export interface Things {
  readonly drafts: readonly Draft[]
  readonly trials: TrialsRecord | null
}

export interface ThingOptions {
  readonly name?: string
  readonly note?: string
  /** Whole id of the entry that an attachment belongs to. */
  readonly of: string | null
}

const FORM_KINDS: Readonly<Record<string, EntryKind>> = {
  'fettle-recipe': 'recipe',
  'fettle-printer-card': 'printer',
  'fettle-filament-card': 'filament',
}

const refuse = (name: string, why: string): CommandTrouble => new CommandTrouble(`${name}: ${why}`, EXIT.unreadable)

const fileDraft = (kind: 'figure' | 'guide' | 'attachment', name: string, bytes: Uint8Array, more: object): Draft => ({
  kind,
  payload: { name: name.slice(0, NOTEBOOK_LIMITS.name), sha256: sha256(bytes), bytes: bytes.length, ...more },
  bytes,
})

const sheetDrafts = (name: string, sheet: unknown): Draft[] => {
  const read = readSheet(sheet)
  if (!read.ok) throw refuse(name, read.issues[0].message)
  const { examination, recipe } = read.value
  return [
    ...(recipe === null ? [] : [{ kind: 'recipe', payload: recipe } as const]),
    { kind: 'examination', payload: examination as unknown as Json } as const,
  ]
}

/** Values of a text that is one JSON value, or one a line; null when it is neither. */
const valuesIn = (text: string): unknown[] | null => {
  try {
    return [JSON.parse(text)]
  } catch {
    try {
      return text
        .split('\n')
        .filter((line) => line.trim() !== '')
        .map((line) => JSON.parse(line))
    } catch {
      return null
    }
  }
}

const formOf = (value: unknown): string | null => {
  const form = (value as { form?: unknown } | null)?.form
  return typeof form === 'string' ? form : null
}

const isMesh = (bytes: Uint8Array, name: string): boolean => {
  if (/\.(stl|obj|ply|off|3mf|glb|gltf)$/i.test(name)) return true
  const stated = bytes.length >= 84 ? new DataView(bytes.buffer, bytes.byteOffset).getUint32(80, true) : -1
  return bytes.length === 84 + 50 * stated || /^(solid|ply|OFF)\s/.test(new TextDecoder().decode(bytes.subarray(0, 6)))
}

/** Texts longer than this are no form of ours. */
const MOST_TEXT = 60_000_000

/** What is in a file. Throws CommandTrouble for a form that is known and wrong. */
export const thingsIn = ({ name: fileName, bytes }: Input, options: ThingOptions): Things => {
  const name = options.name ?? fileName
  const attachment = (data: Uint8Array): Things => ({
    drafts: [fileDraft('attachment', name, data, { of: options.of, caption: options.note ?? '' })],
    trials: null,
  })
  if (isMesh(bytes, fileName)) return { drafts: [fileDraft('figure', name, bytes, {})], trials: null }
  const photo = cleanPhoto(bytes)
  if (photo) {
    if (!photo.ok) throw refuse(fileName, photo.issues[0].message)
    return attachment(photo.value.bytes)
  }
  const start = new TextDecoder().decode(bytes.subarray(0, 200)).trimStart()
  if (bytes.length > MOST_TEXT || !/^[{<]/.test(start)) return attachment(bytes)
  const text = new TextDecoder().decode(bytes)
  if (start.startsWith('<')) {
    const page = readPublished(text)
    if (!page.ok) return attachment(bytes)
    const { recipe, version, date } = page.value
    return {
      drafts: [
        { kind: 'recipe', payload: recipe as unknown as Json },
        fileDraft('guide', name, bytes, { version, date }),
      ],
      trials: null,
    }
  }
  const values = valuesIn(text)
  if (values === null) return attachment(bytes)
  const drafts: Draft[] = []
  for (const value of values) {
    const form = formOf(value)
    if (form === 'fettle-sheet') drafts.push(...sheetDrafts(fileName, value))
    else if (form !== null && form in FORM_KINDS) {
      const payload = value as Record<string, Json>
      drafts.push({
        kind: FORM_KINDS[form],
        payload: options.name === undefined ? payload : { ...payload, name: options.name },
      })
    } else if (form === 'fettle-trials') {
      const read = readTrials(text)
      if (!read.ok) throw refuse(fileName, read.issues.map(({ message }) => message).join('\n'))
      return { drafts: [], trials: read.value }
    } else if (form !== 'fettle-trouble') return attachment(bytes)
  }
  return { drafts, trials: null }
}

export const kindFrom = (word: string): EntryKind => {
  const kind = ENTRY_KINDS.find((known) => known === word)
  if (!kind) throw new CommandTrouble(`there is no kind "${word}"; there are ${ENTRY_KINDS.join(', ')}`)
  return kind
}
