// The short verbs: crew, serve, help, manual, completion.

import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { completionScript } from './completion.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import { manualPage, shortHelp, verbHelp, wholeManual, wrap } from './help.ts'
import type { Surroundings } from './places.ts'
import { crewFigures, NO_CREW } from './read-input.ts'
import { serveFolder } from './serve.ts'
import type { VerbRow } from './verb-row.ts'
import { SHELLS, VERBS, verbNamed } from './verbs.ts'

export const crewVerb = ({ json }: { json?: boolean }, { crewFolder }: Surroundings): ExitCode => {
  const crew = crewFigures(crewFolder)
  if (crew.length === 0) throw NO_CREW
  const listed = crew.map(({ word, name, story }) => ({ word, name, story }))
  const text = json
    ? JSON.stringify({ form: 'fettle-crew', version: 1, figures: listed })
    : listed.map(({ word, name, story }) => [`${word}  ${name}`, ...wrap(story, 2)].join('\n')).join('\n\n')
  process.stdout.write(`${text}\n`)
  return EXIT.fine
}

export const serveVerb = async (
  { port = '0', quiet }: { port?: string; quiet?: boolean },
  { benchFolder, signal }: Surroundings,
): Promise<ExitCode> => {
  const number = Number(port)
  if (!Number.isInteger(number) || number < 0 || number > 65535)
    throw new CommandTrouble(`--port takes a whole number from 0 to 65535, not "${port}"`)
  if (!existsSync(join(benchFolder, 'index.html')))
    throw new CommandTrouble('the bench is not built; run "npm run build" in the folder of fettle', EXIT.unreadable)
  const served = await serveFolder(benchFolder, number).catch((error: NodeJS.ErrnoException) => {
    const taken = error.code === 'EADDRINUSE'
    throw new CommandTrouble(taken ? `port ${port} is taken; leave --port out for a free one` : error.message)
  })
  process.stdout.write(quiet ? `${served.address}\n` : `The bench is at ${served.address}  (Ctrl-C ends it)\n`)
  await new Promise<void>((resolve) => {
    if (signal.aborted) resolve()
    signal.addEventListener('abort', () => resolve(), { once: true })
  })
  await served.close()
  return EXIT.fine
}

const knownVerb = (name: string): VerbRow => {
  const verb = verbNamed(name)
  if (verb) return verb
  throw new CommandTrouble(`there is no verb "${name}"; there are ${VERBS.map((row) => row.name).join(', ')}`)
}

export const helpVerb = (name: string | undefined): ExitCode => {
  process.stdout.write(name === undefined ? shortHelp() : verbHelp(knownVerb(name)))
  return EXIT.fine
}

export const manualVerb = (name: string | undefined): ExitCode => {
  process.stdout.write(name === undefined ? wholeManual() : manualPage(knownVerb(name)))
  return EXIT.fine
}

export const completionVerb = (shell: string, { crewFolder }: Surroundings): ExitCode => {
  const known = SHELLS.find((name) => name === shell)
  if (!known) throw new CommandTrouble(`completion is there for ${SHELLS.join(', ')}, not for "${shell}"`)
  process.stdout.write(
    completionScript(
      known,
      crewFigures(crewFolder).map(({ word }) => word),
    ),
  )
  return EXIT.fine
}
