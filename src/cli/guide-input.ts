// What goes into a guide from files: the form about it, photographs, trials, recipes carried over.

import { readFileSync, statSync } from 'node:fs'
import { dirname, isAbsolute, join, normalize } from 'node:path'
import {
  type CarryTable,
  checkAbout,
  cleanPhoto,
  GUIDE_LIMITS,
  type GuideAbout,
  PHOTO_LIMITS,
  type PublishedPhoto,
  readCarried,
} from '../guide/index.ts'
import { EMPTY_RECORD, readTrials, type TrialsRecord } from '../trials/index.ts'
import { CommandTrouble, EXIT } from './exit-codes.ts'
import { trialsOfNotebook } from './notebook-verb.ts'
import { formTrouble, textOfFile } from './read-form.ts'

const jsonOf = (called: string, path: string): unknown => {
  try {
    return JSON.parse(textOfFile(called, path))
  } catch (error) {
    if (error instanceof CommandTrouble) throw error
    throw new CommandTrouble(`${called} ${path}: this is no JSON`, EXIT.unreadable)
  }
}

export const aboutFrom = (path: string | undefined): GuideAbout => {
  if (path === undefined)
    throw new CommandTrouble('--about says who publishes what; "fettle guide about -o about.json" prints the form')
  const read = checkAbout(jsonOf('form about the guide', path))
  if (!read.ok) throw formTrouble('form about the guide', path, read.issues)
  return read.value
}

/** A photograph beside the form. Paths that lead elsewhere are refused: a form that somebody sent must not fetch other files. */
const photoFrom = (aboutPath: string, { file, alt, caption, scale }: GuideAbout['photos'][number]): PublishedPhoto => {
  const trouble = (why: string) => new CommandTrouble(`photograph ${file}: ${why}`, EXIT.unreadable)
  const inside = normalize(file)
  if (isAbsolute(inside) || /^[A-Za-z]:/.test(inside) || inside.split(/[\\/]/)[0] === '..')
    throw trouble('it must stand in the folder of the form, or below')
  const path = join(dirname(aboutPath), inside)
  let bytes: Uint8Array
  try {
    if (statSync(path).size > PHOTO_LIMITS.rawBytes)
      throw trouble(`it is larger than ${PHOTO_LIMITS.rawBytes / 1e6} MB; make it smaller first`)
    bytes = new Uint8Array(readFileSync(path))
  } catch (error) {
    if (error instanceof CommandTrouble) throw error
    throw trouble((error as NodeJS.ErrnoException).code === 'ENOENT' ? 'there is no such file' : String(error))
  }
  const clean = cleanPhoto(bytes)
  if (clean === null) throw trouble('it is none of JPEG, PNG and WebP')
  if (!clean.ok) throw trouble(clean.issues[0].message)
  return { photo: clean.value, alt, caption, scale }
}

export const photosFrom = (aboutPath: string, about: GuideAbout): readonly PublishedPhoto[] => {
  const photos = about.photos.map((photo) => photoFrom(aboutPath, photo))
  const sum = photos.reduce((all, { photo }) => all + photo.bytes.length, 0)
  if (sum > GUIDE_LIMITS.photosBytes)
    throw new CommandTrouble(
      `the photographs have ${(sum / 1e6).toFixed(1)} MB together; ${GUIDE_LIMITS.photosBytes / 1e6} are the most`,
    )
  return photos
}

/** A record of trials from its file, or from a notebook. */
export const guideTrialsFrom = async (path: string | undefined): Promise<TrialsRecord> => {
  if (path === undefined) return EMPTY_RECORD
  const text = textOfFile('record of trials', path)
  if (text.startsWith('SQLite format 3')) return trialsOfNotebook(path)
  const read = readTrials(text)
  if (!read.ok) throw formTrouble('record of trials', path, read.issues)
  return read.value
}

export const carriedFrom = (paths: string | undefined): readonly CarryTable[] =>
  (paths?.split(',') ?? [])
    .map((path) => path.trim())
    .filter(Boolean)
    .map((path) => {
      const read = readCarried(jsonOf('recipe carried over', path))
      if (!read.ok) throw formTrouble('recipe carried over', path, read.issues)
      return read.value
    })
