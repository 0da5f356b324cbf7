// One notebook, one process: who holds a file is told by tickets beside it.
//
// Each process that wants the file makes a ticket of its own: an empty file whose name tells machine, start of the machine, process id and
// start of the process. It holds the notebook when it then finds no other ticket whose owner may be alive. Of two that come together each
// was written before either looked, so never do both find themselves alone; the one that is not alone takes its ticket back, waits and
// tries again. Tickets of owners that are provably gone are taken away; as every name is used once, that never takes a living one's.
// A lock file that is taken over was rejected: between reading a dead owner and writing a new one another process may do the same.

import { createHash, randomBytes } from 'node:crypto'
import { readdirSync, readFileSync, readlinkSync, statSync, unlinkSync, writeFileSync } from 'node:fs'
import { hostname } from 'node:os'
import { basename, dirname, join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { failed, good, type Outcome } from '../engine/kernel/index.ts'

export interface Ticket {
  readonly release: () => void
}

const short = (text: string): string => createHash('sha256').update(text).digest('hex').slice(0, 10)

const textOr = (read: () => string, otherwise: string): string => {
  try {
    return read().trim()
  } catch {
    return otherwise
  }
}

/** This machine: name and, where processes are numbered in rooms of their own, the room. */
const machine = (): string => short(`${hostname()} ${textOr(() => readlinkSync('/proc/self/ns/pid'), '')}`)
/** This start of the machine; the same each time where the system does not tell. */
const boot = (): string => short(textOr(() => readFileSync('/proc/sys/kernel/random/boot_id', 'utf8'), ''))

/** When a process was started, in the system's own ticks; null when there is no such process, '' where the system does not tell. */
export const startOf = (pid: number): string | null => {
  try {
    process.kill(pid, 0)
  } catch (fault) {
    // Another person's process may not be signalled, but it is there.
    if ((fault as NodeJS.ErrnoException).code === 'ESRCH') return null
  }
  const stat = textOr(() => readFileSync(`/proc/${pid}/stat`, 'utf8'), '')
  // The name in brackets may hold spaces; the state is field 3, the start field 22.
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ')
  // A process that is dead and not yet fetched by its parent writes nothing any more.
  if (fields[0] === 'Z' || fields[0] === 'X') return null
  return fields[19] ?? ''
}

interface Holder {
  readonly file: string
  readonly machine: string
  readonly boot: string
  readonly pid: number
  readonly start: string
}

const NAME = /\.held-([0-9a-f]{10})-([0-9a-f]{10})-(\d+)-(\d*)-[0-9a-f]{12}$/

const ticketsOf = (path: string): readonly Holder[] => {
  const before = `${basename(path)}.held-`
  return readdirSync(dirname(path))
    .filter((file) => file.startsWith(before))
    .flatMap((file) => {
      const match = NAME.exec(file)
      if (!match) return []
      return [
        {
          file: join(dirname(path), file),
          machine: match[1],
          boot: match[2],
          pid: Number(match[3]),
          start: match[4],
        },
      ]
    })
}

/** True only when it is certain that the owner no longer runs. */
const isGone = (holder: Holder): boolean => {
  if (holder.machine !== machine()) return false
  if (holder.boot !== boot()) return true
  const start = startOf(holder.pid)
  return start === null || (start !== '' && holder.start !== '' && start !== holder.start)
}

const drop = (file: string): void => {
  try {
    unlinkSync(file)
  } catch {
    // Another process was faster.
  }
}

const timeOf = (file: string): string => textOr(() => statSync(file).mtime.toISOString().slice(0, 16), 'some time ago')

const heldWords = (path: string, holder: Holder): string =>
  holder.machine === machine()
    ? `${path} is in use by process ${holder.pid} on this machine since ${timeOf(holder.file)}; try again when that is finished.`
    : `${path} is in use on another machine since ${timeOf(holder.file)}; close it there. Only when you know that no program has it open, take away ${basename(holder.file)}.`

/** How long to wait for another process that holds the file, ms, and how often to look. */
export const TICKET_WAIT_MS = 3000
const LOOK_MS = 60

/**
 * Takes the notebook file for this process, waiting a little while another one holds it.
 * @param waitMs longest wait
 * Codes "notebook/in-use" with who holds it and since when; "notebook/folder" when no ticket can be written there.
 */
export const takeTicket = async (path: string, waitMs = TICKET_WAIT_MS): Promise<Outcome<Ticket>> => {
  const start = startOf(process.pid) ?? ''
  for (let waited = 0; ; ) {
    const mine = `${path}.held-${machine()}-${boot()}-${process.pid}-${start}-${randomBytes(6).toString('hex')}`
    let other: Holder | undefined
    try {
      writeFileSync(mine, '', { flag: 'wx' })
      for (const holder of ticketsOf(path)) {
        if (holder.file === mine) continue
        if (isGone(holder)) drop(holder.file)
        else other = holder
      }
    } catch (fault) {
      drop(mine)
      return failed('notebook/folder', `${path}: nothing can be written beside it (${(fault as Error).message}).`)
    }
    if (!other) return good({ release: () => drop(mine) })
    const words = heldWords(path, other)
    drop(mine)
    if (waited >= waitMs) return failed('notebook/in-use', words)
    // Two that come together must not stay in step.
    const pause = LOOK_MS * (0.5 + randomBytes(1)[0] / 256)
    await wait(pause)
    waited += pause
  }
}
