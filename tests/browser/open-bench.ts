// Opens the built bench in a browser for one test and notes every request and every complaint.

import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core'
import { findBrowser } from './find-browser.ts'
import { type Served, serveFolder } from './serve-folder.ts'
import { FIN_FIGURE } from './small-figures.ts'
import { untilWhole } from './take-screens.ts'

/** The built bench; FETTLE_BENCH_DIST names another build, for work beside a running one. */
export const DIST = process.env.FETTLE_BENCH_DIST ?? join(process.cwd(), 'dist', 'bench')

/** A browser and a server for all tests of a file. */
export interface Ground {
  readonly browser: Browser
  readonly served: Served
  readonly close: () => Promise<void>
}

export const layGround = async (): Promise<Ground> => {
  if (!existsSync(join(DIST, 'index.html'))) throw new Error('dist/bench is not there: run `npm run build` first')
  const browser = await chromium.launch(await findBrowser())
  const served = await serveFolder(DIST)
  return {
    browser,
    served,
    close: async () => {
      await browser.close()
      await served.close()
    },
  }
}

export interface Opened {
  readonly page: Page
  /** Addresses asked for that are not of the served origin. */
  readonly foreign: string[]
  /** Errors on the console and uncaught faults. */
  readonly complaints: string[]
  readonly close: () => Promise<void>
}

/** A page with the bench on it; the first crew member is whole when this resolves, unless `wait` is false. */
export const openBench = async (
  { browser, served }: Ground,
  options: BrowserContextOptions = {},
  wait = true,
  hash = '',
): Promise<Opened> => {
  const context = await browser.newContext({
    viewport: { width: 1280, height: 900 },
    reducedMotion: 'reduce',
    serviceWorkers: 'block',
    ...options,
  })
  const page = await context.newPage()
  const foreign: string[] = []
  const complaints: string[] = []
  context.on('request', (request) => {
    const url = request.url()
    if (!url.startsWith(served.address) && !url.startsWith('blob:') && !url.startsWith('data:')) foreign.push(url)
  })
  page.on('pageerror', (fault) => complaints.push(String(fault)))
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text())
  })
  await page.goto(served.address + hash)
  if (wait) await untilWhole(page)
  return { page, foreign, complaints, close: () => context.close() }
}

/** The bench with a small figure on it, which is examined in a fraction of the time of a crew member. */
export const openWithFin = async (ground: Ground, options: BrowserContextOptions = {}): Promise<Opened> => {
  const opened = await openBench(ground, options, false, '#figure=none')
  await dropFin(opened.page)
  return opened
}

/** Drops the small figure and waits for its sheet; a second time its finished sheet is still kept. */
export const dropFin = (page: Page): Promise<void> => dropFigure(page, 'fin figure', FIN_FIGURE)

/** Drops a figure and waits for its sheet. */
export const dropFigure = async (page: Page, name: string, text: string): Promise<void> => {
  // The figure may stand there already: what is dropped becomes the next step, and one step alone is not listed.
  const before = await page.evaluate((h1) => {
    const steps = [...document.querySelectorAll('.steps button')]
    const at = steps.findIndex((step) => step.getAttribute('aria-current'))
    return at < 0 && document.querySelector('h1')?.textContent === h1 ? 0 : at
  }, name)
  await dropFile(page, `${name}.stl`, text)
  if (before >= 0) await page.waitForSelector(`.steps li:nth-child(${before + 2}) [aria-current]`, { timeout: 60_000 })
  await page.waitForSelector(`h1:text-is("${name}")`, { timeout: 60_000 })
  await untilWhole(page)
}

/** Drops a file in the middle of the page, as a visitor does. */
export const dropFile = async (page: Page, name: string, text: string): Promise<void> => {
  const transfer = await page.evaluateHandle(
    ([fileName, content]) => {
      const data = new DataTransfer()
      // The same date each time: the bench then knows the file again.
      data.items.add(new File([content], fileName, { lastModified: 0 }))
      return data
    },
    [name, text],
  )
  for (const kind of ['dragenter', 'dragover', 'drop'])
    await page.dispatchEvent('main', kind, { dataTransfer: transfer })
}
