// Runs the built command as a child process, and makes small files for it.

import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll } from 'vitest'

export interface Ran {
  readonly code: number | null
  readonly out: string
  readonly err: string
}

export const COMMAND = join(process.cwd(), 'bin', 'fettle.mjs')

/** Environment without anything that changes the output. */
const plainEnv = (): NodeJS.ProcessEnv => {
  const { NO_COLOR: _a, FORCE_COLOR: _b, ...env } = process.env
  return env
}

/** Starts the command and leaves it running. */
export const startFettle = (words: readonly string[], cwd: string, env: NodeJS.ProcessEnv = {}) =>
  spawn(process.execPath, [COMMAND, ...words], { cwd, env: { ...plainEnv(), ...env } })

/** Runs the command to its end. */
export const fettle = (
  words: readonly string[],
  { cwd = process.cwd(), env = {}, stdin }: { cwd?: string; env?: NodeJS.ProcessEnv; stdin?: Uint8Array } = {},
): Promise<Ran> =>
  new Promise((resolve, reject) => {
    const child = startFettle(words, cwd, env)
    let out = ''
    let err = ''
    child.stdout.setEncoding('utf8').on('data', (text) => {
      out += text
    })
    child.stderr.setEncoding('utf8').on('data', (text) => {
      err += text
    })
    child.on('error', reject)
    child.on('close', (code) => resolve({ code, out, err }))
    child.stdin.on('error', () => undefined)
    child.stdin.end(stdin)
  })

/** A folder for one test file, taken away afterwards. */
export const scratchFolder = (): string => {
  const folder = mkdtempSync(join(tmpdir(), 'fettle-test-'))
  afterAll(() => rmSync(folder, { recursive: true, force: true }))
  return folder
}

/** Two triangles for each face of a box, corners as 3-bit numbers (x, y, z), seen from outside. */
const BOX = [
  [0, 2, 3, 1],
  [4, 5, 7, 6],
  [0, 1, 5, 4],
  [2, 6, 7, 3],
  [0, 4, 6, 2],
  [1, 3, 7, 5],
].flatMap(([a, b, c, d]) => [
  [a, b, c],
  [a, c, d],
])

/** Binary STL of boxes, each from its lowest to its highest corner. */
export const boxesStl = (boxes: readonly (readonly [number, number, number, number, number, number])[]): Uint8Array => {
  const bytes = new Uint8Array(84 + 50 * 12 * boxes.length)
  const view = new DataView(bytes.buffer)
  view.setUint32(80, 12 * boxes.length, true)
  boxes.forEach(([x0, y0, z0, x1, y1, z1], b) => {
    BOX.forEach((corners, t) => {
      corners.forEach((corner, k) => {
        const at = 84 + 50 * (12 * b + t) + 12 + 12 * k
        view.setFloat32(at, corner & 1 ? x1 : x0, true)
        view.setFloat32(at + 4, corner & 2 ? y1 : y0, true)
        view.setFloat32(at + 8, corner & 4 ? z1 : z0, true)
      })
    })
  })
  return bytes
}

/** A plain post, 8 mm square and 30 mm tall: nothing to complain of. */
export const POST = boxesStl([[-4, -4, 0, 4, 4, 30]])
/** The same with a second box that starts in mid air beside it. */
export const POST_AND_FLOATER = boxesStl([
  [-4, -4, 0, 4, 4, 30],
  [6, -2, 20, 10, 2, 26],
])

export const writeBytes = (folder: string, name: string, bytes: Uint8Array | string): string => {
  writeFileSync(join(folder, name), bytes)
  return name
}
