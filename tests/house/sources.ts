// Finds the project's source files, their rooms and their imports, for the tests of the house.

import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join, normalize, relative, sep } from 'node:path'
import { RANKS } from './ranks.ts'

export const ROOT = process.cwd()
const ROOMS = RANKS.flat()

/** Paths of all files below a folder, relative to the project, with forward slashes. */
export const filesIn = (folder: string): string[] =>
  readdirSync(join(ROOT, folder), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(ROOT, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .sort()

export const read = (file: string): string => readFileSync(join(ROOT, file), 'utf8')

export const isTest = (file: string): boolean => /\.test\.tsx?$/.test(file)

/** Room of a file under src, null for files outside the rooms. */
export const roomOf = (file: string): string | null => {
  if (!file.startsWith('src/')) return null
  const path = file.slice(4)
  return ROOMS.find((room) => path.startsWith(`${room}/`)) ?? null
}

/** One import of a file: of a package (`path` null) or of a file of the project. */
export interface Import {
  readonly specifier: string
  readonly path: string | null
}

const FORMS = [
  /(?:^|\n)\s*(?:import|export)\s[^'"`;]*?\sfrom\s*['"]([^'"]+)['"]/g,
  /(?:^|\n)\s*import\s*['"]([^'"]+)['"]/g,
  /\bimport\s*\(\s*['"]([^'"]+)['"]/g,
  /\bnew URL\(\s*['"](\.[^'"]+)['"]\s*,\s*import\.meta\.url/g,
]

/** All imports of a source text, types and worker addresses included. */
export const importsOf = (file: string, text: string): Import[] =>
  FORMS.flatMap((form) => [...text.matchAll(form)]).map(([, specifier]) => {
    const plain = specifier.replace(/\?.*$/, '')
    return {
      specifier,
      path: plain.startsWith('.')
        ? normalize(join(dirname(file), plain))
            .split(sep)
            .join('/')
        : null,
    }
  })
