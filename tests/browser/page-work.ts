// What each page beside the sheet is for, done once on a small figure, so that a test can look at the page when its work is done.

import type { Page } from 'playwright-core'

/** Waits until a page stands with its content. */
export const untilPage = async (page: Page, name: string): Promise<void> => {
  await page.waitForSelector(`#beside-title:text-is("${name}")`)
  await page.waitForSelector('.beside > div:nth-child(2), .beside > form')
}

/** Opens a page by its button in the head and waits until its content is there. */
export const toPage = async (page: Page, name: string): Promise<void> => {
  const isOpen = (await page.locator(`#beside-title:text-is("${name}")`).count()) > 0
  if (!isOpen) await page.locator('.pages').getByRole('button', { name, exact: true }).click()
  await untilPage(page, name)
}

/** Names of all pages, in the order of the head, which is that of the table of pages. */
export const pageNames = (page: Page): Promise<string[]> => page.locator('.pages button').allTextContents()

const LONG = { timeout: 150_000 }
const press = (page: Page, name: string): Promise<void> => page.getByRole('button', { name, exact: true }).click()

/** Short work of each page, by its name; each ends when its answer stands on the page. */
export const PAGE_WORK: Readonly<Record<string, (page: Page) => Promise<void>>> = {
  Stress: async (page) => {
    await page.getByLabel('Cubes').selectOption('0.4')
    await press(page, 'Work out the whole field')
    await page.waitForSelector('.strength-table tbody tr', LONG)
  },
  Falls: async (page) => {
    await page.getByLabel('Attitudes', { exact: true }).selectOption('16')
    await press(page, 'Let it fall')
    await page.waitForSelector('.falls-gallery li', LONG)
  },
  Heat: async (page) => {
    await press(page, 'Ask')
    await page.waitForSelector('.soft-wide table', LONG)
  },
  Stances: async (page) => {
    await page.getByLabel('Stances to look at closely').selectOption('2')
    await press(page, 'Search stances')
    await page.waitForSelector('.stances-gallery > li', LONG)
  },
  Tray: async (page) => {
    await page.getByLabel('fin figure').fill('3')
    await page.getByLabel('work out a school class for the first figure').check()
    await press(page, 'Lay out the tray')
    await page.waitForSelector('.tray-picture svg', LONG)
  },
  Recipe: async (page) => {
    for (const name of ['layer height', 'infill share', 'flow share', 'speed', 'acceleration', 'least layer time'])
      await page.getByLabel(name, { exact: true }).check()
    await page.getByLabel('Recipes to lay in full').selectOption('4')
    await press(page, 'Search')
    await page.waitForSelector('.advise-picks li', LONG)
  },
  Notebook: async (page) => {
    await press(page, 'Keep this figure and its examination')
    await page.waitForSelector('.notebook tbody tr', LONG)
  },
  Publish: async (page) => {
    await press(page, 'Save the guide')
    await page.waitForSelector('[role=alert] li')
  },
  Trials: async (page) => {
    await page.getByLabel('Piece', { exact: true }).selectOption('box')
    await press(page, 'Make this coupon')
    await page.waitForSelector('.trials-coupon', LONG)
    await page.getByLabel('strings between parts').check()
    await page.waitForSelector('.trials-causes')
  },
  Pictures: async (page) => {
    await page.waitForSelector('.picture-preview', LONG)
  },
}
