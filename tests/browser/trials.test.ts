// The page of trials: a coupon planned, made and saved; outcomes entered and the plan moved; a symptom diagnosed; nothing lost on reload.

import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { readCode } from '../../src/engine/motioncode/index.ts'
import { type Ground, layGround, openWithFin } from './open-bench.ts'

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
let ground: Ground
beforeAll(async () => {
  ground = await layGround()
})
afterAll(() => ground?.close())

const openTrials = async (page: Page): Promise<void> => {
  await page.getByRole('button', { name: 'Trials' }).click()
  await page.waitForSelector('#plan-title')
}

const violations = async (page: Page): Promise<string[]> => {
  await page.evaluate(AXE)
  return page.evaluate(async () => {
    const { axe } = window as unknown as {
      axe: { run: (where: string) => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    return (await axe.run('.beside')).violations.map(({ id, nodes }) => `${id}: ${nodes[0].html.slice(0, 160)}`)
  })
}

test('a coupon is planned, made, saved; its outcome moves the plan; a reload keeps the record', async () => {
  const { page, foreign, complaints, close } = await openWithFin(ground)
  await openTrials(page)
  await page.getByLabel('Piece', { exact: true }).selectOption('box')
  expect(await page.textContent('.trials-table')).toContain('95 %')
  await page.getByRole('button', { name: 'Make this coupon' }).click()
  await page.waitForSelector('.trials-coupon', { timeout: 60_000 })
  expect(await page.textContent('.trials-coupon')).toMatch(/all\s+\d+ checks agree/)
  expect(await page.textContent('.trials-coupon')).toContain('Not for children under three')
  const bar = await page.locator('.trials-bar span').first().boundingBox()
  expect(bar?.width).toBeGreaterThan(3)
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Save the code and record the trial' }).click(),
  ])
  expect(download.suggestedFilename()).toBe('box-flow.gcode')
  const read = readCode(readFileSync(await download.path()))
  expect(read.ok && [read.value.nMalformed, read.value.unknown]).toEqual([0, []])

  await page.waitForSelector('.trials-outcome')
  const before = await page.textContent('.trials-table')
  for (const [i, field] of (await page.locator('.trials-outcome .trials-row input').all()).entries())
    await field.fill(i === 0 ? '0,30' : '0.40')
  await page.getByRole('button', { name: 'Enter the outcome' }).click()
  await expect.poll(() => page.locator('.trials-record li').count()).toBe(2)
  expect(await page.textContent('.trials-table')).not.toBe(before)
  expect(await violations(page)).toEqual([])

  // The page stands in the address: it is there again.
  await page.reload()
  await page.waitForSelector('#plan-title')
  expect(await page.locator('.trials-record li').count()).toBe(2)
  await page.getByRole('button', { name: 'Withdraw' }).last().click()
  await expect.poll(() => page.locator('.trials-record li').count()).toBe(3)
  expect(await page.textContent('.trials-record')).toContain('no longer holds')
  // Into the notebook, forgotten here, and taken out again: the same entries.
  await page.getByRole('button', { name: 'Keep it in the notebook' }).click()
  await page.getByText('3 entries went into the notebook.').waitFor({ timeout: 30_000 })
  page.once('dialog', (dialog) => void dialog.accept())
  await page.getByRole('button', { name: 'Delete it from this browser' }).click()
  await page.getByText('The record is empty.').waitFor()
  await page.getByRole('button', { name: 'Take from the notebook' }).click()
  await expect.poll(() => page.locator('.trials-record li').count()).toBe(3)
  expect(foreign).toEqual([])
  expect(complaints).toEqual([])
  await close()
}, 180_000)

test('a symptom is diagnosed, the change is one step, and cautions stay in sight', async () => {
  const { page, close } = await openWithFin(ground, { viewport: { width: 360, height: 780 } })
  await openTrials(page)
  await page.getByLabel('strings between parts').check()
  await page.getByLabel(/^Better first:/).selectOption({ index: 2 })
  await page.waitForSelector('.trials-causes')
  expect(await page.textContent('.trials')).toContain('The one change to make')
  expect(await page.textContent('.trials')).toContain('burn at a touch')
  await page.getByText('What counted, and every question').click()
  await page
    .getByLabel(/does it crackle or steam/)
    .last()
    .selectOption('yes')
  expect(await page.textContent('.trials-causes')).toContain('damp filament')
  expect(await page.textContent('.trials')).toContain('Dry the spool')
  expect(await violations(page)).toEqual([])
  const wide = await page.evaluate(() =>
    [...document.querySelectorAll('.trials *')]
      .filter((part) => part.getBoundingClientRect().right > innerWidth + 1 && !part.closest('.trials-table'))
      .map((part) => part.outerHTML.slice(0, 80)),
  )
  expect(wide).toEqual([])
  await close()
}, 120_000)
