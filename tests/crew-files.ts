// The built crew and public scans, read and stood up as the command does it.

import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { CREW, type CrewMember } from '../demo/crew.ts'
import { EXAMINE_DEFAULTS, type ExamineSettings } from '../src/engine/examine/index.ts'

/** Bytes of a figure of the crew, from where the test run has built it. */
export const crewBytes = (id: CrewMember['id']): Uint8Array => {
  const member = CREW.find((m) => m.id === id) as CrewMember
  return new Uint8Array(readFileSync(join(process.cwd(), 'dist', 'crew', member.file)))
}

/** Settings for a figure of the crew: its own size, its own eye line. */
export const crewSettings = (id: CrewMember['id']): ExamineSettings => {
  const { soleToEyeMm } = CREW.find((m) => m.id === id) as CrewMember
  return {
    ...EXAMINE_DEFAULTS,
    scale: { by: 'scale-height', soleToEyeMm },
    unit: 'mm',
    eyeLineMm: soleToEyeMm,
  }
}

/** Bytes of a scan that an npm package carries. */
export const scanBytes = (name: string): Uint8Array => {
  const folder = dirname(createRequire(import.meta.url).resolve('stl-models/package.json'))
  return new Uint8Array(readFileSync(join(folder, 'objects', name)))
}
