// The pages of stances and tray: searched with progress, tried as a step that can be taken back, drawn in plan; no violation for axe-core.

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

const violations = async (page: Page, where: string): Promise<string[]> => {
  await page.evaluate(AXE)
  return page.evaluate(async (place) => {
    const { axe } = window as unknown as {
      axe: { run: (where: string) => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    return (await axe.run(place)).violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)
  }, where)
}

test('stances: a gallery with words, one tried and taken back', async () => {
  const { page, complaints, foreign, close } = await openWithFin(ground)
  await page.getByRole('button', { name: 'Stances' }).click()
  await page.getByLabel('Stances to look at closely').selectOption('2')
  await page.getByRole('button', { name: 'Search stances' }).click()
  await page.waitForSelector('.stances-gallery > li', { timeout: 120_000 })
  expect(await page.locator('.stances-gallery > li').count()).toBeGreaterThan(1)
  expect(await page.locator('.stances-gallery h3').first().textContent()).toBe('standing as given')
  expect(await page.locator('.stances-picture svg[role="img"]').count()).toBeGreaterThan(1)
  expect(await page.textContent('.stances')).toContain('It gives up:')
  expect(await violations(page, '.stances')).toEqual([])
  await page.getByRole('button', { name: 'Try this stance' }).first().click()
  await page.waitForSelector('.stances', { state: 'detached' })
  await page.waitForSelector('.track-plot svg', { timeout: 120_000 })
  await page.keyboard.press('Control+z')
  await page.waitForSelector('.track-plot svg', { timeout: 60_000 })
  expect([complaints, foreign]).toEqual([[], []])
  await close()
})

test('tray: pieces in plan to scale, timetable, risk; nothing chosen is told', async () => {
  const { page, complaints, foreign, close } = await openWithFin(ground)
  await page.getByRole('button', { name: 'Tray' }).click()
  await page.getByLabel('fin figure').fill('0')
  await page.getByRole('button', { name: 'Lay out the tray' }).click()
  await page.waitForSelector('text=Give at least one figure')
  await page.getByLabel('fin figure').fill('3')
  await page.getByLabel('work out a school class for the first figure').check()
  await page.getByRole('button', { name: 'Lay out the tray' }).click()
  await page.waitForSelector('.tray-picture svg', { timeout: 120_000 })
  expect(await page.getAttribute('.tray-picture svg', 'aria-label')).toContain('3 pieces on a bed of 220 x 220 mm')
  const words = await page.textContent('.tray')
  for (const part of ['Timetable', 'evening 1', 'Plastic and cost', 'The class', 'good pieces to expect'])
    expect(words).toContain(part)
  expect(await violations(page, '.tray')).toEqual([])
  await page.setViewportSize({ width: 360, height: 780 })
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360)
  expect([complaints, foreign]).toEqual([[], []])
  await close()
})
