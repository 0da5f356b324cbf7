// Advice, a coupon and a guide with the keyboard alone: each page is opened by its digit, walked by Tab, and set going by Enter.

import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Ground, layGround, openWithFin } from './open-bench.ts'
import { untilPage } from './page-work.ts'

let ground: Ground
beforeAll(async () => {
  ground = await layGround()
})
afterAll(() => ground?.close())

/** Name of what has the focus: its label, or its own words. */
const focused = (page: Page): Promise<string> =>
  page.evaluate(() => {
    const element = document.activeElement as HTMLInputElement | null
    return (element?.labels?.[0]?.textContent ?? element?.ariaLabel ?? element?.textContent ?? '').trim()
  })

const MOST_TABS = 120

/** Presses Tab until what bears this name has the focus. */
const tabTo = async (page: Page, name: RegExp): Promise<void> => {
  const passed: string[] = []
  for (let n = 0; n < MOST_TABS; n++) {
    await page.keyboard.press('Tab')
    const now = await focused(page)
    if (name.test(now)) return
    passed.push(now.slice(0, 30))
  }
  throw new Error(`${name} was not reached by Tab; passed: ${passed.join(' | ')}`)
}

const LONG = { timeout: 150_000 }

test('advice is searched, a coupon made and a guide asked for by keys', async () => {
  const { page, complaints, close } = await openWithFin(ground)

  await page.keyboard.press('6')
  await untilPage(page, 'Recipe')
  await tabTo(page, /^Recipes to lay in full/)
  await page.keyboard.press('Home')
  await tabTo(page, /^Search$/)
  await page.keyboard.press('Enter')
  await page.waitForSelector('.advise-picks li', LONG)
  expect(await page.textContent('.advise-picks li h4')).toMatch(/^(Recipe \d|The recipe as given)/)

  await page.keyboard.press('9')
  await untilPage(page, 'Trials')
  await tabTo(page, /^Make this coupon$/)
  await page.keyboard.press('Enter')
  await page.waitForSelector('.trials-coupon', LONG)

  await page.keyboard.press('8')
  await untilPage(page, 'Publish')
  await tabTo(page, /^Save the guide$/)
  await page.keyboard.press('Enter')
  // What is still missing is named before anything is saved.
  await page.waitForSelector('[role=alert] li', LONG)

  await page.keyboard.press('0')
  await page.waitForSelector('#findings-title')
  expect(complaints).toEqual([])
  await close()
}, 300_000)
