// Several result files of one command: refused together before long work is done, written together after it.

import { existsSync } from 'node:fs'
import { CommandTrouble } from './exit-codes.ts'
import { overwriteTrouble, writeWhole } from './write-file.ts'

/** Checks that every file may be written; the answer writes them. Throws CommandTrouble for a file that is there, or named twice. */
export const writeAll = async (
  files: readonly { readonly path: string; readonly text: string }[],
  force: boolean,
): Promise<() => Promise<void>> => {
  const twice = files.find(({ path }, i) => files.findIndex((other) => other.path === path) !== i)
  if (twice) throw new CommandTrouble(`two results would be written to ${twice.path}`)
  const there = force ? undefined : files.find(({ path }) => existsSync(path))
  if (there) throw overwriteTrouble(there.path)
  return async () => {
    for (const { path, text } of files) await writeWhole(path, text, force)
  }
}
