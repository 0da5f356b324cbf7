// A page as PDF, through a browser that is on the machine: it lays out the same page that is read on screen.

import { type ChildProcess, spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { delimiter, join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { Cancelled } from '../engine/kernel/index.ts'
import { CommandTrouble, EXIT } from './exit-codes.ts'

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome', 'microsoft-edge']
const PLACES = [
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe',
]
/** A browser that has not printed within this time hangs, ms. */
const MOST_MS = 120_000

/** Path of a browser that prints without a window, or null. FETTLE_BROWSER names one. */
const findPrinter = (env: NodeJS.ProcessEnv): string | null => {
  if (env.FETTLE_BROWSER) return env.FETTLE_BROWSER
  for (const folder of (env.PATH ?? '').split(delimiter))
    for (const name of NAMES)
      for (const end of ['', '.exe'])
        if (folder && existsSync(join(folder, name + end))) return join(folder, name + end)
  return PLACES.find((place) => existsSync(place)) ?? null
}

const NO_BROWSER =
  'no browser was found that prints to PDF; install Chromium or Chrome, or name one in FETTLE_BROWSER, or print the HTML page from any browser'

/** Refuses early, before long work, where there is no browser. */
export const printerOrTrouble = (): string => {
  const found = findPrinter(process.env)
  if (found === null || !existsSync(found)) throw new CommandTrouble(NO_BROWSER, EXIT.unreadable)
  return found
}

const ended = (child: ChildProcess): Promise<void> =>
  new Promise((resolve, reject) => {
    child.on('error', reject)
    child.on('close', () => resolve())
  })

/**
 * Prints a page on the paper that it sets itself.
 * @throws CommandTrouble when the browser does not print it; Cancelled when stopped
 */
export const printPdf = async (html: string, browser: string, signal: AbortSignal): Promise<Uint8Array> => {
  const folder = await mkdtemp(join(tmpdir(), 'fettle-print-'))
  const [page, made] = [join(folder, 'page.html'), join(folder, 'page.pdf')]
  try {
    await writeFile(page, html)
    const child = spawn(
      browser,
      [
        '--headless',
        '--disable-gpu',
        '--disable-dev-shm-usage',
        '--disable-extensions',
        '--no-first-run',
        '--no-default-browser-check',
        '--no-pdf-header-footer',
        // Browsers refuse to run as root with their own walls up; the page is ours and holds no script.
        ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
        `--user-data-dir=${join(folder, 'profile')}`,
        `--print-to-pdf=${made}`,
        pathToFileURL(page).href,
      ],
      { stdio: 'ignore' },
    )
    const stop = () => child.kill('SIGKILL')
    const timer = setTimeout(stop, MOST_MS)
    signal.addEventListener('abort', stop, { once: true })
    try {
      await ended(child)
    } catch (fault) {
      throw new CommandTrouble(`${browser} could not be started (${(fault as Error).message})`, EXIT.unreadable)
    } finally {
      clearTimeout(timer)
      signal.removeEventListener('abort', stop)
    }
    if (signal.aborted) throw new Cancelled()
    const pdf = await readFile(made).catch(() => null)
    if (pdf === null || pdf.subarray(0, 5).toString('latin1') !== '%PDF-')
      throw new CommandTrouble(
        `${browser} did not print the page; print the HTML page from a browser yourself`,
        EXIT.unreadable,
      )
    return new Uint8Array(pdf)
  } finally {
    await rm(folder, { recursive: true, force: true, maxRetries: 5 })
  }
}
