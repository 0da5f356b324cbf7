// The recipe's page: checks of the recipe, a search that can be stopped, advice made into the sheet, another nozzle.

import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Ground, layGround, openWithFin } from './open-bench.ts'
import { untilWhole } from './take-screens.ts'

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
let ground: Ground
beforeAll(async () => {
  ground = await layGround()
})
afterAll(() => ground?.close())

test('checks, search, advice as the sheet, another nozzle', async () => {
  const { page, complaints, foreign, close } = await openWithFin(ground)
  await page.getByRole('button', { name: 'Recipe', exact: true }).click()
  await page.waitForSelector('.advise')
  expect(await page.textContent('.advise')).toContain('every line is common practice for figures')
  expect(await page.textContent('.advise')).toContain('softening band')

  // Another nozzle is worked out at once, and again when the bore changes.
  expect(await page.textContent('.advise-lines')).toContain('bead width: 0.25 mm instead of 0.4 mm')
  await page.getByLabel('Bore of the nozzle, mm').fill('0,6')
  expect(await page.textContent('.advise-lines')).toContain('bead width: 0.6 mm instead of 0.4 mm')

  // Everything but the shells stays, so that the search is short.
  for (const name of ['layer height', 'infill share', 'flow share', 'speed', 'acceleration', 'least layer time'])
    await page.getByLabel(name, { exact: true }).check()
  await page.getByLabel('Recipes to lay in full').selectOption('4')
  await page.getByRole('button', { name: 'Search', exact: true }).click()
  await page.getByRole('button', { name: 'Stop', exact: true }).click()
  await page.waitForSelector('.advise .working', { state: 'detached' })
  expect(await page.locator('.advise-picks').count()).toBe(0)
  await page.getByRole('button', { name: 'Search', exact: true }).click()
  await page.waitForSelector('.advise-picks li', { timeout: 120_000 })
  expect(await page.locator('.advise-table').first().locator('tbody tr').count()).toBe(7)
  await page.evaluate(AXE)
  const violations = await page.evaluate(async () => {
    const { axe } = window as unknown as {
      axe: { run: (where: string) => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    return (await axe.run('.advise')).violations.map(({ id, nodes }) => `${id}: ${nodes[0].html.slice(0, 160)}`)
  })
  expect(violations).toEqual([])

  // The carried recipe becomes the sheet, as one step that can be taken back.
  await page.getByLabel('Bore of the nozzle, mm').fill('0.25')
  await page
    .locator('section[aria-labelledby="carry-title"]')
    .getByRole('button', { name: 'Make the sheet with it' })
    .click()
  await page.waitForSelector('.advise', { state: 'detached' })
  await untilWhole(page)
  await page.getByRole('button', { name: 'Recipe', exact: true }).click()
  await page.waitForSelector('.advise')
  expect(await page.textContent('#carry-range')).toContain('0.25')
  expect(complaints).toEqual([])
  expect(foreign).toEqual([])
  await close()
})
