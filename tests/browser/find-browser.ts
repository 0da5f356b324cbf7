// Finds the browser that the tests drive: an installed Chromium or Chrome, else the one that npm brought.

import { existsSync, mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { delimiter, join } from 'node:path'

/** What playwright-core's chromium.launch needs. */
export interface FoundBrowser {
  readonly executablePath: string
  readonly args: string[]
  readonly env: Record<string, string>
}

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable']
/** WebGL in software, no sandbox (tests run as root too), no shared memory folder (small in containers). */
const ARGS = [
  '--no-sandbox',
  '--disable-dev-shm-usage',
  '--use-gl=angle',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
]
const CACHE = join(process.cwd(), '.cache', 'browser')
/** The machine's own fonts, and those that came with the browser for machines that have none. */
const FONTS = `<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig>
  <dir>/usr/share/fonts</dir>
  <dir>${join(CACHE, 'fonts')}</dir>
  <cachedir>${join(CACHE, 'fonts-cache')}</cachedir>
</fontconfig>
`

const installed = (): string | null => {
  for (const folder of (process.env.PATH ?? '').split(delimiter))
    for (const name of NAMES) if (folder && existsSync(join(folder, name))) return join(folder, name)
  return null
}

/** True where the machine has the libraries that the browser from npm links to but does not hold. */
const hasLibraries = (): boolean =>
  ['/lib', '/usr/lib', '/lib64', '/usr/lib64', '/lib/x86_64-linux-gnu', '/usr/lib/x86_64-linux-gnu'].some((folder) =>
    existsSync(join(folder, 'libnss3.so')),
  )

const plainEnv = (): Record<string, string> =>
  Object.fromEntries(Object.entries(process.env).filter((pair): pair is [string, string] => pair[1] !== undefined))

/** Unpacks the browser from npm into .cache/browser once; safe when several tests ask at the same time. */
const unpack = async (): Promise<void> => {
  if (existsSync(join(CACHE, 'chromium'))) return
  const folder = `${CACHE}-${process.pid}-${Date.now()}`
  mkdirSync(folder, { recursive: true })
  const { TMPDIR, AWS_EXECUTION_ENV } = process.env
  process.env.TMPDIR = folder
  // The package unpacks the libraries it carries only where it takes the machine for a bare one.
  if (!hasLibraries()) process.env.AWS_EXECUTION_ENV = 'AWS_Lambda_nodejs20.x'
  try {
    const { default: packed } = await import('@sparticuz/chromium')
    await packed.executablePath()
    writeFileSync(join(folder, 'fonts.conf'), FONTS)
  } finally {
    restore('TMPDIR', TMPDIR)
    restore('AWS_EXECUTION_ENV', AWS_EXECUTION_ENV)
  }
  try {
    renameSync(folder, CACHE)
  } catch (error) {
    rmSync(folder, { recursive: true, force: true })
    // Another test was faster.
    if (!existsSync(join(CACHE, 'chromium'))) throw error
  }
}

const restore = (name: string, value: string | undefined): void => {
  if (value === undefined) delete process.env[name]
  else process.env[name] = value
}

/** Looks for an installed browser, then unpacks the one from npm. Use as chromium.launch(await findBrowser()). */
export const findBrowser = async (): Promise<FoundBrowser> => {
  const path = installed()
  if (path) return { executablePath: path, args: ARGS, env: plainEnv() }
  await unpack()
  const libraries = [join(CACHE, 'al2023', 'lib'), process.env.LD_LIBRARY_PATH].filter(Boolean).join(delimiter)
  return {
    executablePath: join(CACHE, 'chromium'),
    args: [...ARGS, '--headless=shell'],
    env: { ...plainEnv(), LD_LIBRARY_PATH: libraries, FONTCONFIG_FILE: join(CACHE, 'fonts.conf') },
  }
}
