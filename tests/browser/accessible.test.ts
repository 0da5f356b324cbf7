// No violation that axe-core 4 can find, by day and by night, with the pages open that lie over the sheet.

import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Ground, layGround, type Opened, openBench, openWithFin } from './open-bench.ts'
import { untilWhole } from './take-screens.ts'

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

/** Opens what stands folded under the section, the table behind the log among it. */
const openNotes = async (page: Page): Promise<void> => {
  await page.locator('.log-notes details').evaluateAll((all) => {
    for (const one of all as HTMLDetailsElement[]) one.open = true
  })
  await page.waitForSelector('.height-table')
}

let opened: Opened
beforeAll(async () => {
  opened = await openWithFin(ground)
})

for (const colorScheme of ['light', 'dark'] as const)
  test(`no violations by ${colorScheme === 'light' ? 'day' : 'night'}, on the sheet and in every dialog`, async () => {
    const { page } = opened
    await page.emulateMedia({ colorScheme })
    await page.keyboard.press('.')
    await page.locator('.finding.chosen summary').click()
    await page.getByLabel('laid over it:').selectOption('thickness')
    await openNotes(page)
    expect(await violations(page)).toEqual([])
    await page.keyboard.press('Escape')
    for (const name of ['Size and recipe', 'choose tracks', 'List keys and words']) {
      await page.getByRole('button', { name }).click()
      await page.waitForSelector('dialog')
      expect(await violations(page)).toEqual([])
      await page.keyboard.press('Escape')
      await page.waitForSelector('dialog', { state: 'detached' })
    }
  })

test('no violations in a what-if, on the page of pictures, and on an empty bench', async () => {
  const { page } = opened
  await page.getByRole('button', { name: 'Compare', exact: true }).click()
  await page.getByRole('button', { name: 'Size and recipe' }).click()
  await page.getByLabel('Shells asked for').fill('2')
  await page.getByRole('button', { name: 'Examine with these' }).click()
  await page.waitForSelector('.worth')
  await untilWhole(page)
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme })
    expect(await violations(page)).toEqual([])
  }
  await page.getByRole('button', { name: 'Let A go' }).click()
  await page.waitForSelector('.since')
  expect(await violations(page)).toEqual([])
  await page.getByRole('button', { name: 'Pictures' }).click()
  await page.waitForSelector('.picture-preview')
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme })
    expect(await violations(page)).toEqual([])
  }
  await page.getByRole('button', { name: 'Back to the sheet' }).click()
  const empty = await openBench(ground, {}, false, '#figure=none')
  await empty.page.waitForSelector('.verdict')
  expect(await violations(empty.page)).toEqual([])
  await empty.close()
})

test('no violations on any page beside the sheet, by day and by night, wide and narrow', async () => {
  const { page } = opened
  const names = await page.locator('.pages button').allTextContents()
  expect(names.length).toBeGreaterThan(7)
  for (const name of names) {
    await page.locator('.pages').getByRole('button', { name, exact: true }).click()
    await page.waitForSelector(`#beside-title:text-is("${name}")`)
    await page.waitForFunction(() => (document.querySelector('.beside')?.textContent?.length ?? 0) > 60)
    for (const width of [1280, 360])
      for (const colorScheme of ['light', 'dark'] as const) {
        await page.setViewportSize({ width, height: 900 })
        await page.emulateMedia({ colorScheme })
        expect(await violations(page), `${name}, ${width} px, ${colorScheme}`).toEqual([])
      }
  }
  await page.setViewportSize({ width: 1280, height: 900 })
  await page.getByRole('button', { name: 'Back to the sheet' }).click()
}, 240_000)

test('no violations at 360 px', async () => {
  const { page } = opened
  await page.setViewportSize({ width: 360, height: 780 })
  await page.waitForSelector('.slides')
  expect(await violations(page)).toEqual([])
  await page.setViewportSize({ width: 1280, height: 900 })
  await page.waitForSelector('.log:not(.slides)')
})

test('every track has its numbers in a table, and every picture a name', async () => {
  const { page } = opened
  await openNotes(page)
  // All tracks are in the table, those that do not stand in the log too.
  const nTracks = Number(/(\d+) tracks/.exec((await page.textContent('.under-log')) ?? '')?.[1])
  expect(await page.locator('.height-table thead th').count()).toBeGreaterThan(nTracks)
  expect(await page.locator('.height-table tbody tr').count()).toBe(20)
  for (const picture of await page.locator('.track-plot svg, .plan svg').all())
    expect(((await picture.getAttribute('aria-label')) ?? '').length).toBeGreaterThan(10)
})
