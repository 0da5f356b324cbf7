// The built-in crew of the night ferry: fetched from beside the page when first asked for.

import { CREW } from '../../demo/crew.ts'
import type { Source } from './state.ts'

const fetched = new Map<string, Promise<Uint8Array>>()

const fetchMember = (file: string): Promise<Uint8Array> => {
  const known = fetched.get(file)
  if (known) return known
  const coming = fetch(`crew/${file}`).then(async (answer) => {
    if (!answer.ok) throw new Error(`the built-in figure ${file} is not there (answer ${answer.status})`)
    return new Uint8Array(await answer.arrayBuffer())
  })
  fetched.set(file, coming)
  coming.catch(() => fetched.delete(file))
  return coming
}

/** The crew as figures to choose from. */
export const crewSources = (): readonly Source[] =>
  CREW.map(({ id, name, story, file, soleToEyeMm }) => ({
    id: `crew ${id}`,
    name,
    story,
    soleToEyeMm,
    bytes: () => fetchMember(file),
  }))

/** Addresses of the crew's files, for keeping them for use offline. */
export const crewAddresses = (): readonly string[] => CREW.map(({ file }) => `crew/${file}`)
