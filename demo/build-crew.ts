// Builds the crew's files: `node build-crew.js [FOLDER]`, default dist/crew. Leaves alone what is there and up to date.

import { createHash } from 'node:crypto'
import { closeSync, mkdirSync, openSync, readSync, renameSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Module from 'manifold-3d'
import { CREW } from './crew.ts'
import { MODEL_VERSION, modelFigure } from './model/model-figure.ts'
import { writePly } from './model/triangles.ts'

/** The mark of a version in a file's header: a hash, so that any change of the constant counts. */
const mark = (id: string): string =>
  `night ferry ${id} ${createHash('sha256').update(`${MODEL_VERSION} ${id}`).digest('hex').slice(0, 16)}`

/** True when the file carries the mark and is as long as its header says. */
const upToDate = (path: string, wanted: string): boolean => {
  try {
    const file = openSync(path, 'r')
    const head = Buffer.alloc(512)
    const n = readSync(file, head, 0, 512, 0)
    closeSync(file)
    const text = head.toString('latin1', 0, n)
    const end = text.indexOf('end_header\n')
    const vertices = Number(/element vertex (\d+)/.exec(text)?.[1])
    const faces = Number(/element face (\d+)/.exec(text)?.[1])
    return (
      end > 0 && text.includes(`comment ${wanted}\n`) && statSync(path).size === end + 11 + 12 * vertices + 13 * faces
    )
  } catch {
    return false
  }
}

/** Writes every figure of the crew into the folder as binary PLY; returns the ids that were modelled. */
export const buildCrew = async (folder: string): Promise<string[]> => {
  mkdirSync(folder, { recursive: true })
  const made: string[] = []
  for (const { id, file } of CREW) {
    const path = join(folder, file)
    if (upToDate(path, mark(id))) continue
    // an instance per figure: what it made is dropped with it
    const library = await Module()
    library.setup()
    const bytes = writePly(modelFigure(id, library), mark(id))
    // beside first, then renamed: a build that is stopped leaves no half file
    writeFileSync(`${path}.part`, bytes)
    renameSync(`${path}.part`, path)
    made.push(id)
  }
  return made
}

if (process.argv[1] !== undefined && /build-crew\.m?js$/.test(process.argv[1])) {
  const folder = process.argv[2] ?? 'dist/crew'
  const made = await buildCrew(folder)
  process.stderr.write(
    made.length > 0 ? `crew: modelled ${made.join(', ')} into ${folder}\n` : `crew: up to date in ${folder}\n`,
  )
}
