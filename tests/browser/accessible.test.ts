// No violation that axe-core 4 can find, by day and by night, with the pages open that lie over the sheet.

import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Ground, layGround, openWithFin } from './open-bench.ts'

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
let ground: Ground
beforeAll(async () => {
  ground = await layGround()
})
afterAll(() => ground?.close())

/** Violations in words: rule and the first places. */
const violations = async (page: Page): Promise<string[]> => {
  await page.evaluate(AXE)
  return page.evaluate(async () => {
    const { axe } = window as unknown as {
      axe: { run: () => Promise<{ violations: { id: string; nodes: { html: string; failureSummary: string }[] }[] }> }
    }
    const found = await axe.run()
    return found.violations.map(
      ({ id, nodes }) =>
        `${id}: ${nodes.slice(0, 3).map(({ html, failureSummary }) => `${html.slice(0, 160)} ${failureSummary}`)}`,
    )
  })
}

for (const colorScheme of ['light', 'dark'] as const)
  test(`no violations by ${colorScheme === 'light' ? 'day' : 'night'}`, async () => {
    const { page, close } = await openWithFin(ground, { colorScheme })
    await page.keyboard.press('.')
    await page.getByLabel('laid over it:').selectOption('thickness')
    for (const summary of await page.locator('.log-notes summary').all()) await summary.click()
    expect(await violations(page)).toEqual([])
    await page.getByRole('button', { name: 'Size and recipe' }).click()
    expect(await violations(page)).toEqual([])
    await page.keyboard.press('Escape')
    await page.waitForSelector('dialog', { state: 'detached' })
    await page.keyboard.press('?')
    await page.waitForSelector('dialog')
    expect(await violations(page)).toEqual([])
    await close()
  })

test('no violations at 360 px', async () => {
  const { page, close } = await openWithFin(ground, { viewport: { width: 360, height: 780 } })
  expect(await violations(page)).toEqual([])
  await close()
})

test('every track has its numbers in a table, and every picture a name', async () => {
  const { page, close } = await openWithFin(ground)
  await page.getByText('The log as a table').click()
  // All tracks are in the table, those that do not stand in the log too.
  const nTracks = Number(/(\d+) tracks/.exec((await page.textContent('.under-log')) ?? '')?.[1])
  expect(await page.locator('.height-table thead th').count()).toBeGreaterThan(nTracks)
  expect(await page.locator('.height-table tbody tr').count()).toBe(20)
  for (const picture of await page.locator('.track-plot svg, .plan svg').all())
    expect(((await picture.getAttribute('aria-label')) ?? '').length).toBeGreaterThan(10)
  await close()
})
