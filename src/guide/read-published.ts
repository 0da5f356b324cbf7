// Opens a published guide again: takes the one block of data out of the page and checks it. Nothing else of the page is looked at, and
// nothing of it is run.

import { failed, good, type Outcome } from '../engine/kernel/index.ts'
import {
  type FilamentCard,
  type PrinterCard,
  type Recipe,
  readFilamentCard,
  readPrinterCard,
  readRecipe,
} from '../recipe/index.ts'
import { GUIDE_LIMITS } from './publish-types.ts'

export const GUIDE_DATA_ID = 'fettle-guide-data'

/** What a guide carries for machines. */
export interface PublishedData {
  readonly form: 'fettle-guide'
  readonly version: 1
  readonly title: string
  readonly guideVersion: string
  readonly date: string
  readonly author: string
  /** Height from sole to eye line that it was examined at, mm. */
  readonly soleToEyeMm: number
  /** SHA-256 of the sculpt's file. */
  readonly sculptSha256: string
  readonly recipe: Recipe
  readonly printer: PrinterCard
  readonly filament: FilamentCard
}

/** A guide that was opened again. */
export interface Published {
  readonly title: string
  readonly version: string
  readonly date: string
  readonly author: string
  readonly soleToEyeMm: number | null
  readonly sculptSha256: string | null
  readonly recipe: Recipe
  readonly printer: PrinterCard
  readonly filament: FilamentCard
}

/** The block as text: every < is written as an escape, so nothing inside can end it or begin another. */
export const dataBlock = (data: PublishedData): string =>
  `<script type="application/json" id="${GUIDE_DATA_ID}">${JSON.stringify(data).replaceAll('<', '\\u003c')}</script>`

const OPENING = new RegExp(`<script\\b[^<>]{0,200}\\bid="${GUIDE_DATA_ID}"[^<>]{0,200}>`, 'g')
const notOne = (why: string) => failed('guide/no-guide', `This page is not a guide of Fettle: ${why}.`)

const words = (value: unknown): string =>
  typeof value === 'string'
    ? // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
      value.replace(/[\u0000-\u001f\u007f-\u009f\u2028-\u202e\u2066-\u2069]/g, ' ').slice(0, 300)
    : ''

/** True when a text may be a published guide: quick, for telling files apart. */
export const looksPublished = (text: string): boolean =>
  text.length <= GUIDE_LIMITS.pageCharacters && text.includes(`id="${GUIDE_DATA_ID}"`)

/** Reads recipe and cards back from a page. Codes "guide/no-guide", "guide/newer-version", and those of the forms. */
export const readPublished = (html: string): Outcome<Published> => {
  if (html.length > GUIDE_LIMITS.pageCharacters) return notOne(`it has ${html.length} characters, which is too many`)
  const openings = [...html.matchAll(OPENING)]
  if (openings.length !== 1)
    return notOne(openings.length === 0 ? 'it carries no recipe' : 'it carries more than one recipe')
  const from = openings[0].index + openings[0][0].length
  const to = html.indexOf('</script', from)
  if (to < 0 || to - from > GUIDE_LIMITS.dataCharacters) return notOne('its data breaks off or is too long')
  let data: Record<string, unknown>
  try {
    data = JSON.parse(html.slice(from, to))
  } catch {
    return notOne('its data is no JSON')
  }
  if (typeof data !== 'object' || data === null || data.form !== 'fettle-guide')
    return notOne('its data is of another form')
  if (typeof data.version === 'number' && data.version > 1)
    return failed(
      'guide/newer-version',
      `This guide is of version ${data.version}; this program reads version 1. Use a newer Fettle.`,
    )
  if (data.version !== 1) return notOne('it states no version')
  const recipe = readRecipe(JSON.stringify(data.recipe ?? null))
  if (!recipe.ok) return recipe
  const printer = readPrinterCard(JSON.stringify(data.printer ?? null))
  if (!printer.ok) return printer
  const filament = readFilamentCard(JSON.stringify(data.filament ?? null))
  if (!filament.ok) return filament
  const height = data.soleToEyeMm
  return good(
    {
      title: words(data.title),
      version: words(data.guideVersion) || '1',
      date: words(data.date) || 'no date',
      author: words(data.author),
      soleToEyeMm: typeof height === 'number' && height > 0 && height < 1000 ? height : null,
      sculptSha256:
        typeof data.sculptSha256 === 'string' && /^[0-9a-f]{64}$/.test(data.sculptSha256) ? data.sculptSha256 : null,
      recipe: recipe.value,
      printer: printer.value,
      filament: filament.value,
    },
    [...recipe.notes, ...printer.notes, ...filament.notes],
  )
}
