// Takes pictures of the built bench at several widths, by day and by night, and as it prints. Pictures are for looking at, not for comparing.

import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { type Browser, chromium, type Page } from 'playwright-core'
import { findBrowser } from './find-browser.ts'
import { serveFolder } from './serve-folder.ts'

/** Waits until the sheet is whole: nothing is being worked out and the figure is drawn. */
export const untilWhole = async (page: Page): Promise<void> => {
  await page.waitForSelector('.findings-head p:not(:text("are being looked for"))', { timeout: 150_000 })
  await page.waitForSelector('.working', { state: 'detached', timeout: 150_000 })
  // Last: a worker draws the figure, and until it has, the canvas says that it still holds the one before.
  await page.waitForSelector('canvas[data-drawn="yes"], .drawn svg path, .beside', {
    state: 'attached',
    timeout: 150_000,
  })
}

interface Shot {
  readonly name: string
  readonly width: number
  readonly height: number
  readonly scheme: 'light' | 'dark'
  readonly prepare?: (page: Page) => Promise<void>
  /** Only what the window shows, not the whole page. */
  readonly isWindow?: boolean
}

const SHOTS: readonly Shot[] = [
  { name: 'keeper-wide', width: 1440, height: 1000, scheme: 'light' },
  {
    name: 'keeper-night-thickness',
    width: 1440,
    height: 1000,
    scheme: 'dark',
    prepare: async (page) => {
      await page.getByLabel('laid over it:').selectOption('thickness')
    },
  },
  { name: 'keeper-narrow', width: 360, height: 780, scheme: 'light' },
  {
    name: 'section-surplus',
    width: 1280,
    height: 1000,
    scheme: 'light',
    isWindow: true,
    prepare: async (page) => {
      await page.getByRole('button', { name: 'show the other' }).click()
      await page.locator('.look', { hasText: 'has no room from' }).first().click()
      await page.waitForTimeout(300)
      await page.locator('.section').scrollIntoViewIfNeeded()
    },
  },
  {
    name: 'lamplighter-finding',
    width: 1100,
    height: 900,
    scheme: 'light',
    prepare: async (page) => {
      await page.getByLabel('Figure', { exact: true }).selectOption({ label: 'The lamplighter' })
      await page.waitForTimeout(300)
      await untilWhole(page)
      await page.keyboard.press('.')
      await page.waitForTimeout(300)
    },
  },
  {
    name: 'keeper-compared',
    width: 1440,
    height: 1000,
    scheme: 'light',
    prepare: async (page) => {
      await page.getByRole('button', { name: 'Size and recipe' }).click()
      await page.getByLabel('Layer height', { exact: true }).fill('0.15')
      await page.getByRole('button', { name: 'Examine with these' }).click()
      await untilWhole(page)
      await page.getByRole('button', { name: 'Compare', exact: true }).click()
      await page.getByLabel('laid over it:').selectOption('soft-again')
      await page.waitForSelector('.worth')
    },
  },
  { name: 'keeper-print', width: 706, height: 1000, scheme: 'light' },
  { name: 'keeper-4k', width: 3840, height: 2160, scheme: 'light', isWindow: true },
  {
    name: 'size-and-recipe',
    width: 900,
    height: 900,
    scheme: 'light',
    prepare: async (page) => {
      await page.getByRole('button', { name: 'Size and recipe' }).click()
      await page.getByLabel('Flow share', { exact: true }).fill('100')
      await page.getByRole('button', { name: 'Examine with these' }).click()
      await untilWhole(page)
      await page.getByRole('button', { name: 'Size and recipe' }).click()
      await page.locator('#infillShare').evaluate((line) => line.scrollIntoView({ block: 'center' }))
    },
    isWindow: true,
  },
]

/** Takes pictures of a built bench into a folder, all of them or those named; returns their paths. */
export const takeScreens = async (
  dist: string,
  folder: string,
  given?: Browser,
  wanted: readonly string[] = [],
): Promise<readonly string[]> => {
  mkdirSync(folder, { recursive: true })
  const served = await serveFolder(dist)
  const browser = given ?? (await chromium.launch(await findBrowser()))
  const paths: string[] = []
  try {
    for (const { name, width, height, scheme, prepare, isWindow } of SHOTS.filter(
      (shot) => !wanted.length || wanted.includes(shot.name),
    )) {
      const context = await browser.newContext({
        viewport: { width, height },
        colorScheme: scheme,
        reducedMotion: 'reduce',
        serviceWorkers: 'block',
      })
      const page = await context.newPage()
      page.on('pageerror', (fault) => console.error(name, fault))
      page.on('console', (message) => {
        if (message.type() === 'error') console.error(name, message.text())
      })
      await page.goto(served.address)
      await untilWhole(page)
      await prepare?.(page)
      // What was chosen last is drawn by a worker, and the picture for paper comes when all is quiet.
      await untilWhole(page)
      await page.waitForSelector('.on-paper, .drawn', { state: 'attached', timeout: 60_000 })
      await page.waitForTimeout(300)
      const path = join(folder, `${name}.png`)
      if (name === 'keeper-print') {
        await page.pdf({ path: path.replace('.png', '.pdf'), format: 'A4', printBackground: true })
        await page.emulateMedia({ media: 'print' })
        await page.waitForTimeout(200)
      }
      await page.screenshot({ path, fullPage: !isWindow, animations: 'disabled', timeout: 120_000 })
      paths.push(path)
      await context.close()
    }
  } finally {
    if (!given) await browser.close()
    await served.close()
  }
  return paths
}
