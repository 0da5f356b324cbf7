// The page of falls by the keyboard alone: asked, followed, stopped in the middle, asked again, drawn, laid over the figure; no violation.

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

/** Presses Tab until something with this name has the focus. */
const tabTo = async (page: Page, name: RegExp): Promise<void> => {
  for (let k = 0; k < 120; k++) {
    await page.keyboard.press('Tab')
    const label = await page.evaluate(() => {
      const element = document.activeElement
      const { labels } = element as HTMLInputElement
      return (labels?.[0] ?? element)?.textContent?.trim() ?? ''
    })
    if (name.test(label)) return
  }
  throw new Error(`nothing named ${name} takes the focus`)
}

const violations = async (page: Page): Promise<string[]> => {
  await page.evaluate(AXE)
  return page.evaluate(async () => {
    const { axe } = window as unknown as { axe: { run: () => Promise<{ violations: { id: string }[] }> } }
    return (await axe.run()).violations.map(({ id }) => id)
  })
}

test('falls by the keyboard alone: stopped in the middle, asked again, drawn, told, laid over the figure', async () => {
  const { page, complaints, foreign, close } = await openWithFin(ground)
  await tabTo(page, /^Falls$/)
  await page.keyboard.press('Enter')
  await page.waitForSelector('.falls-form')
  expect(await page.evaluate(() => document.activeElement?.id)).toBe('beside-title')
  expect(await page.textContent('.falls-cautions')).toContain('Snapped ends fly')

  await tabTo(page, /^Height of the fall/)
  await page.keyboard.press('Control+a')
  await page.keyboard.type('1.5')
  await page.keyboard.press('Tab')
  await page.keyboard.type('hard')
  await tabTo(page, /^Attitudes/)
  await page.keyboard.type('160')
  await tabTo(page, /^Let it fall$/)
  await page.keyboard.press('Enter')
  await page.waitForSelector('.falls-so-far', { timeout: 120_000 })
  expect(await page.textContent('.falls-so-far')).toMatch(/So far: of the first \d+ of 160 attitudes/)
  await page.keyboard.press('Tab')
  expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Stop')
  await page.keyboard.press('Enter')
  await page.waitForSelector('.working', { state: 'detached', timeout: 20_000 })
  expect(await page.textContent('.falls-so-far')).toContain('Stopped. Known until then')
  expect(await page.textContent('.falls-so-far caption')).toContain('from 1.5 m on wood')
  expect(await page.locator('.falls-gallery').count()).toBe(0)
  expect(await violations(page)).toEqual([])

  await tabTo(page, /^Attitudes/)
  await page.keyboard.type('16,')
  await tabTo(page, /^Let it fall$/)
  await page.keyboard.press('Enter')
  await page.waitForSelector('.falls-gallery li', { timeout: 120_000 })
  expect(await page.locator('.falls-so-far').count()).toBe(0)
  expect(await page.textContent('.falls-verdict')).toMatch(/From 1\.5 m on wood it survives .*of 16 attitudes/)
  const rows = await page.locator('.falls-table tbody tr').allTextContents()
  expect(rows.length).toBe(10)
  for (const picture of await page.locator('.falls-picture svg').all())
    expect(await picture.getAttribute('aria-label')).toMatch(/as it strikes: it lands on .* mm up and uses/)
  await tabTo(page, /^All \d+ attitudes$/)
  await page.keyboard.press('Enter')
  expect(await page.locator('.falls-table tbody tr').count()).toBeGreaterThan(16)
  for (const width of [1280, 360])
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.setViewportSize({ width, height: 900 })
      await page.emulateMedia({ colorScheme })
      expect(await violations(page), `${width} px, ${colorScheme}`).toEqual([])
    }
  await page.setViewportSize({ width: 1280, height: 900 })

  await tabTo(page, /^How grave it is to land there$/)
  await page.keyboard.press('Enter')
  await page.waitForSelector('.legend')
  expect(await page.textContent('.legend')).toContain('landing here uses')
  expect([complaints, foreign]).toEqual([[], []])
  await close()
}, 300_000)

test('a height that no figure falls is not taken', async () => {
  const { page, close } = await openWithFin(ground)
  await page.getByRole('button', { name: 'Falls', exact: true }).click()
  await page.getByLabel('Height of the fall, m').fill('9')
  await page.getByRole('button', { name: 'Let it fall' }).click()
  expect(await page.locator('#falls-height:invalid').count()).toBe(1)
  expect(await page.locator('.working').count()).toBe(0)
  await close()
})
