// Writing a result: under a temporary name first, so that nobody ever sees half a file, and never over a file by accident.

import { randomBytes } from 'node:crypto'
import { constants, copyFile, link, mkdir, rename, unlink, writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'
import { CommandTrouble, EXIT } from './exit-codes.ts'

/** Refuses early, before long work, when the file is there and may not be overwritten. */
export const overwriteTrouble = (path: string): CommandTrouble =>
  new CommandTrouble(`${path} is there already; give --force to overwrite it`, EXIT.usage)

/** Gives the whole file its name, unless that is taken. Where a file system knows no links it is copied. */
const nameNew = async (half: string, path: string): Promise<void> => {
  try {
    await link(half, path)
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') throw error
    await copyFile(half, path, constants.COPYFILE_EXCL)
  }
}

/**
 * Writes text or bytes to a path; makes its folder when needed.
 * @throws CommandTrouble when the file exists and `force` is false, or when it cannot be written
 */
export const writeWhole = async (path: string, text: string | Uint8Array, force: boolean): Promise<void> => {
  const half = `${path}.${randomBytes(6).toString('hex')}.part`
  try {
    await mkdir(dirname(path), { recursive: true })
    await writeFile(half, text, { flag: 'wx' })
    // A link fails where a file is, even one that came a moment ago; a rename would replace it.
    if (force) await rename(half, path)
    else await nameNew(half, path)
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException
    throw code === 'EEXIST' ? overwriteTrouble(path) : new CommandTrouble(`${path}: ${message}`, EXIT.unreadable)
  } finally {
    await unlink(half).catch(() => undefined)
  }
}
