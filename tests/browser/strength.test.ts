// The page of the whole field: worked out with progress, told beside the quick look, laid over figure and log of the sheet, and stopped.

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

const toPage = async (page: Page): Promise<void> => {
  await page.getByRole('button', { name: 'Stress' }).click()
  await page.waitForSelector('text=Work out the whole field')
}

test('loads in a table beside the quick look, colours over the figure, a track in the log', async () => {
  const { page, complaints, foreign, close } = await openWithFin(ground)
  await toPage(page)
  await page.getByLabel('Cubes').selectOption('0.4')
  await page.getByRole('button', { name: 'Work out the whole field' }).click()
  await page.waitForSelector('.strength-table tbody tr', { timeout: 120_000 })
  const rows = await page.locator('.strength-table tbody tr').allTextContents()
  expect(rows.some((row) => /^(push|pull) at/.test(row))).toBe(true)
  expect(rows.some((row) => row.startsWith('own weight'))).toBe(true)
  expect(await page.textContent('.strength-words')).toContain('The quick look')
  await page.evaluate(AXE)
  const violations = await page.evaluate(async () => {
    const { axe } = window as unknown as { axe: { run: (where: string) => Promise<{ violations: { id: string }[] }> } }
    return (await axe.run('.strength')).violations.map(({ id }) => id)
  })
  expect(violations).toEqual([])
  await page.getByLabel(/strength used by 1 N on any limb/).check()
  await page.getByRole('button', { name: 'Show it on the sheet' }).click()
  await page.waitForSelector('.legend')
  expect(await page.textContent('.legend')).toContain('used by 1 N')
  await page.getByText('The log as a table').click()
  expect(await page.locator('.log-notes .height-table thead').textContent()).toContain('whole field')
  expect([complaints, foreign]).toEqual([[], []])
  await close()
})

test('stops when asked, and can be started again', async () => {
  const { page, close } = await openWithFin(ground)
  await toPage(page)
  await page.getByLabel('Cubes').selectOption('0.15')
  await page.getByRole('button', { name: 'Work out the whole field' }).click()
  await page.getByRole('button', { name: 'Stop' }).click()
  await page.waitForSelector('.working', { state: 'detached', timeout: 20_000 })
  expect(await page.locator('.strength-table').count()).toBe(0)
  await page.getByLabel('Cubes').selectOption('0.4')
  await page.getByRole('button', { name: 'Work out the whole field' }).click()
  await page.waitForSelector('.strength-table tbody tr', { timeout: 120_000 })
  await close()
})
