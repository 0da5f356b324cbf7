// What the bench puts into its notebook: the figure that is shown with its examination, and files told by content.

import { version } from '../../../package.json'
import { recipeInForce } from '../../engine/examine/index.ts'
import { cleanPhoto } from '../../guide/index.ts'
import { type Draft, hashOfValue, type Json, NOTEBOOK_LIMITS, sha256 } from '../../notebook/index.ts'
import { readTrials } from '../../trials/index.ts'
import type { Bench } from '../pages/bench.ts'
import { askNotebook, nowMoment } from './notebook-client.ts'

const plainJson = (value: unknown): Json => JSON.parse(JSON.stringify(value)) as Json

const fileDraft = (kind: 'figure' | 'attachment', name: string, bytes: Uint8Array, more: object): Draft => ({
  kind,
  payload: { name: name.slice(0, NOTEBOOK_LIMITS.name), sha256: sha256(bytes), bytes: bytes.length, ...more },
  bytes,
})

/** Keeps figure, recipe, cards and the short form of the examination. Answers with a sentence. */
export const keepShown = async (bench: Bench): Promise<string> => {
  const figure = await bench.figure()
  const { step, parts } = bench
  if (!figure || !step || !parts.summary) return 'There is nothing to keep yet.'
  const { settings } = step
  const recipe = plainJson(recipeInForce(settings))
  const { verdict, soleToEyeMm, totalHeightMm, massG, printS } = parts.summary
  const drafts: Draft[] = [
    fileDraft('figure', figure.name, figure.bytes, {}),
    { kind: 'recipe', payload: recipe },
    { kind: 'printer', payload: plainJson(settings.printer) },
    { kind: 'filament', payload: plainJson(settings.filament) },
    {
      kind: 'examination',
      payload: {
        toolVersion: version,
        fileName: figure.name.slice(0, NOTEBOOK_LIMITS.name),
        fileSha256: sha256(figure.bytes),
        settingsSha256: hashOfValue(plainJson(settings)),
        recipeSha256: hashOfValue(recipe),
        verdict,
        soleToEyeMm,
        totalHeightMm,
        massG,
        printS,
        findings: (parts.findings ?? [])
          .slice(0, NOTEBOOK_LIMITS.findings)
          .map(({ rule, severity, title, place, certainty }) => ({
            rule,
            severity,
            title,
            fromMm: place.fromMm,
            toMm: place.toMm,
            sure: certainty.share,
          })),
      },
    },
  ]
  const added = await askNotebook('add', { drafts, at: nowMoment() })
  if (!added.ok) return added.issues[0].message
  return added.value === 0 ? 'All of it was kept already.' : `Kept: ${added.value} new entries.`
}

const FORM_KINDS = {
  'fettle-recipe': 'recipe',
  'fettle-printer-card': 'printer',
  'fettle-filament-card': 'filament',
} as const
/** A text longer than this is no form. */
const MOST_TEXT = 60_000_000

/** Keeps one file, told by its content: a notebook, a record of trials, a recipe or card, a picture. Answers with a sentence. */
export const keepFile = async (file: File): Promise<string> => {
  const bytes = new Uint8Array(await file.arrayBuffer())
  const start = new TextDecoder().decode(bytes.subarray(0, 200)).trimStart()
  if (start.startsWith('SQLite format 3')) {
    const merged = await askNotebook('import', bytes)
    if (!merged.ok) return `${file.name}: ${merged.issues[0].message}`
    const { newEntries, knownEntries, newFiles } = merged.value
    const notes = merged.notes.map(({ message }) => ` ${message}`).join('')
    return `${file.name}: ${newEntries} entries and ${newFiles} files taken in, ${knownEntries} were known.${notes}`
  }
  const drafts: Draft[] = []
  const photo = cleanPhoto(bytes)
  if (photo) {
    if (!photo.ok) return `${file.name}: ${photo.issues[0].message}`
    drafts.push(fileDraft('attachment', file.name, photo.value.bytes, { of: null, caption: '' }))
  } else if (start.startsWith('{') && bytes.length <= MOST_TEXT) {
    const text = new TextDecoder().decode(bytes)
    const form = /"form"\s*:\s*"([^"]{0,60})"/.exec(start)?.[1]
    if (form === 'fettle-trials') {
      const read = readTrials(text)
      if (!read.ok) return `${file.name}: ${read.issues[0].message}`
      const added = await askNotebook('addTrials', read.value)
      return added.ok
        ? `${file.name}: ${added.value} new entries of trials.`
        : `${file.name}: ${added.issues[0].message}`
    }
    const kind = FORM_KINDS[form as keyof typeof FORM_KINDS]
    try {
      if (kind) drafts.push({ kind, payload: JSON.parse(text) as Json })
    } catch {
      return `${file.name}: this is no JSON.`
    }
  }
  if (drafts.length === 0)
    return `${file.name}: a notebook takes notebooks, records of trials, recipes, cards and pictures here; a figure is kept from its sheet.`
  const added = await askNotebook('add', { drafts, at: nowMoment() })
  if (!added.ok) return `${file.name}: ${added.issues[0].message}`
  return `${file.name}: ${added.value === 0 ? 'known already' : 'kept'}.`
}
