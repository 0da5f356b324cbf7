// The way through the bench with the keyboard alone: open, look, try, compare, swap, arrange, picture, print.

import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Ground, layGround, type Opened, openWithFin } from './open-bench.ts'
import { untilWhole } from './take-screens.ts'

let ground: Ground
let opened: Opened
beforeAll(async () => {
  ground = await layGround()
  opened = await openWithFin(ground)
})
afterAll(() => ground?.close())

/** Walks by Tab, from the top of the page, to what has this name. */
const tabTo = async (name: RegExp, most = 80): Promise<void> => {
  const { page } = opened
  for (let n = 0; n < most; n++) {
    await page.keyboard.press('Tab')
    const words = await page.evaluate(() => {
      const at = document.activeElement as HTMLElement | null
      return at?.getAttribute('aria-label') ?? at?.textContent ?? ''
    })
    if (name.test(words)) return
  }
  throw new Error(`Tab never came to ${name}`)
}

test('every step of the way by keyboard alone', async () => {
  const { page, complaints } = opened
  // The browser's own print window would wait for a person.
  await page.evaluate(() => {
    window.print = () => {
      document.documentElement.dataset.asked = 'print'
    }
  })
  // The first Tab leads to the findings, and the address stays what it was.
  const address = await page.evaluate(() => location.hash)
  await tabTo(/^To the findings$/, 1)
  await page.keyboard.press('Enter')
  await expect.poll(() => page.evaluate(() => document.activeElement?.id), { timeout: 5000 }).toBe('findings-title')
  expect(await page.evaluate(() => location.hash)).toBe(address)
  // Findings: next one, its working, its remedy.
  await page.keyboard.press('.')
  await page.waitForSelector('.finding.chosen')
  await tabTo(/^why$/)
  await page.keyboard.press('Enter')
  await page.waitForSelector('details[open] .formula')
  expect(await page.textContent('details[open] .working-out')).toMatch(/[=<>≥≤·]/)
  expect(await page.textContent('details[open] .source')).toMatch(/source|practice|\d{4}/i)

  // What if: hold, change, two lines on every track, swap, let go.
  const before = await page.textContent('.scale-line')
  await page.keyboard.press('=')
  await page.waitForSelector('.whatif')
  await page.keyboard.press('a')
  await page.waitForSelector('.steps li:nth-child(2) [aria-current]')
  await untilWhole(page)
  await page.waitForSelector('.worth')
  const nTracks = await page.locator('.track').count()
  expect(await page.locator('.track-legend li:has(.other-line)').count()).toBe(nTracks)
  expect((await page.textContent('.whatif-words')) ?? '').toContain('instead of')
  expect(await page.locator('.worth tbody tr').count()).toBeGreaterThan(3)
  const after = await page.textContent('.scale-line')
  expect(after).not.toBe(before)
  await page.keyboard.press('/')
  await page.waitForFunction((line) => document.querySelector('.scale-line')?.textContent === line, before)
  await untilWhole(page)
  await page.keyboard.press('Control+Shift+z')
  await page.waitForFunction((line) => document.querySelector('.scale-line')?.textContent === line, after)
  await untilWhole(page)
  await page.keyboard.press('=')
  await page.waitForSelector('.whatif', { state: 'detached' })

  // Tracks: take one out, put the most telling back.
  await tabTo(/^choose tracks$/)
  await page.keyboard.press('Enter')
  await page.waitForSelector('.track-list')
  await page.keyboard.press('Tab')
  await page.keyboard.press('Space')
  await expect.poll(() => page.locator('.track').count(), { timeout: 5000 }).toBe(nTracks - 1)
  await page.keyboard.press('Escape')
  await page.waitForSelector('dialog', { state: 'detached' })

  // Pictures: a page beside the sheet, and back.
  const names = await page.locator('.pages button').allTextContents()
  await page.keyboard.press('1')
  await page.waitForSelector(`#beside-title:text-is("${names[0]}")`)
  await page.keyboard.press('0')
  await page.waitForSelector('.board')
  await tabTo(/^Pictures$/)
  await page.keyboard.press('Enter')
  await page.waitForSelector('.picture-preview')
  expect(await page.evaluate(() => document.activeElement?.id)).toBe('beside-title')
  const saving = page.waitForEvent('download')
  await tabTo(/^Save as SVG$/)
  await page.keyboard.press('Enter')
  expect((await saving).suggestedFilename()).toBe('fin-figure-figure.svg')
  const savingPng = page.waitForEvent('download')
  await tabTo(/^Save as PNG$/)
  await page.keyboard.press('Enter')
  expect((await savingPng).suggestedFilename()).toBe('fin-figure-figure.png')
  await page.keyboard.press('Escape')
  await page.waitForSelector('.board')

  await tabTo(/^Print$/)
  await page.keyboard.press('Enter')
  expect(await page.evaluate(() => document.documentElement.dataset.asked)).toBe('print')
  expect(complaints).toEqual([])
}, 240_000)

test('a step of the history can be held, and is worked out beside the sheet where it is no longer kept', async () => {
  const { page, complaints } = opened
  await page.keyboard.press('=')
  await page.waitForSelector('.whatif')
  await page.getByLabel('A, held:').selectOption({ index: 0 })
  await page.waitForSelector('.worth')
  expect(await page.textContent('.whatif-words')).toContain('B sets otherwise')
  await page.getByRole('button', { name: 'Let A go' }).click()
  expect(complaints).toEqual([])
})
