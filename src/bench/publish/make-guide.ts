// From what the bench shows and what the author filled in to the content of a guide.

import { version } from '../../../package.json'
import { carryOver, withNozzle } from '../../advise/index.ts'
import { recipeInForce } from '../../engine/examine/index.ts'
import { failed, good, type Outcome } from '../../engine/kernel/index.ts'
import {
  type CarryTable,
  checkAbout,
  cleanPhoto,
  GUIDE_LIMITS,
  type GuideAbout,
  type GuideContent,
  type PublishedPhoto,
} from '../../guide/index.ts'
import type { Json } from '../../notebook/index.ts'
import { hashOfValue, sha256 } from '../../notebook/index.ts'
import { EMPTY_RECORD, type TrialsRecord } from '../../trials/index.ts'
import { askNotebook } from '../notebook/notebook-client.ts'
import type { Bench } from '../pages/bench.ts'

/** A photograph that was chosen, before it is cleaned. */
export interface ChosenPhoto {
  readonly file: File
  readonly alt: string
  readonly caption: string
  readonly scale: string
}

export interface GuideWish {
  readonly about: GuideAbout
  readonly photos: readonly ChosenPhoto[]
  /** Bores of nozzles for which a carried-over recipe is shown, mm. */
  readonly bores: readonly number[]
  readonly withTrials: boolean
  readonly withSculpt: boolean
  readonly paper: 'A4' | 'Letter' | null
}

const readPhoto = async ({ file, alt, caption, scale }: ChosenPhoto): Promise<Outcome<PublishedPhoto>> => {
  const clean = cleanPhoto(new Uint8Array(await file.arrayBuffer()))
  if (clean === null) return failed('guide/photo-broken', `${file.name} is none of JPEG, PNG and WebP.`)
  if (!clean.ok) return failed(clean.issues[0].code, `${file.name}: ${clean.issues[0].message}`)
  return good({ photo: clean.value, alt, caption, scale })
}

const trialsFrom = async (wanted: boolean): Promise<TrialsRecord> => {
  if (!wanted) return EMPTY_RECORD
  const told = await askNotebook('trials', null)
  return told.ok ? told.value : EMPTY_RECORD
}

/** Gathers everything; every line that is missing is named. */
export const guideContent = async (bench: Bench, wish: GuideWish): Promise<Outcome<GuideContent>> => {
  const { step, parts } = bench
  const figure = await bench.figure()
  const { summary, layers, findings } = parts
  if (!step || !figure || !summary || !layers || !findings || !parts.figure)
    return failed('guide/no-sheet', 'The sheet is not whole yet.')
  const checked = checkAbout({
    ...wish.about,
    sculpt: { ...wish.about.sculpt, mayBeGivenAway: wish.withSculpt },
    photos: wish.photos.map(({ file, alt, caption, scale }) => ({ file: file.name, alt, caption, scale })),
  })
  if (!checked.ok) return checked
  const photos: PublishedPhoto[] = []
  for (const chosen of wish.photos) {
    const read = await readPhoto(chosen)
    if (!read.ok) return read
    photos.push(read.value)
  }
  if (photos.reduce((sum, { photo }) => sum + photo.bytes.length, 0) > GUIDE_LIMITS.photosBytes)
    return failed(
      'guide/photo-too-large',
      'The photographs are too large together; leave some out or make them smaller.',
    )
  if (wish.withSculpt && figure.bytes.length > GUIDE_LIMITS.sculptBytes)
    return failed(
      'guide/sculpt-too-large',
      `The sculpt has ${figure.bytes.length} bytes; a page takes up to ${GUIDE_LIMITS.sculptBytes}.`,
    )
  const { printer, filament } = step.settings
  const recipe = recipeInForce(step.settings)
  const carried = wish.bores.map((bore): CarryTable => {
    const to = { printer: withNozzle(printer, bore), filament }
    const { lines, kept } = carryOver(recipe, { printer, filament }, to)
    return { machine: to.printer.name, lines, kept }
  })
  return good({
    about: checked.value,
    recipe,
    printer,
    filament,
    examination: { summary, layers, findings, topMm: parts.figure.max[2] },
    source: {
      toolVersion: version,
      fileName: figure.name,
      fileSha256: sha256(figure.bytes),
      settingsSha256: hashOfValue(JSON.parse(JSON.stringify(step.settings)) as Json),
    },
    trials: await trialsFrom(wish.withTrials),
    carried,
    photos,
    sculpt: wish.withSculpt ? { name: figure.name, bytes: figure.bytes } : null,
    paper: wish.paper,
  })
}
