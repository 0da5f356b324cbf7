// A figure of more than a million triangles: a picture soon, a thinned surface, a bench that answers while it works, a stop in the middle.
// How long the longest piece of work on the page's own thread took is measured by the benchmark of the page, not judged here.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { largeFigure } from '../large-figure.ts'
import { dropFin, type Ground, layGround, openBench } from './open-bench.ts'

const folder = mkdtempSync(join(tmpdir(), 'fettle-large-'))
const path = join(folder, 'large keeper.ply')
let ground: Ground
beforeAll(async () => {
  writeFileSync(path, await largeFigure())
  ground = await layGround()
})
afterAll(async () => {
  await ground?.close()
  rmSync(folder, { recursive: true, force: true })
})

test('it is drawn thinned, can be turned and scrubbed while it is worked out, stopped in the middle, and left behind', async () => {
  const { page, complaints, close } = await openBench(ground, {}, false, '#figure=none')
  // Nothing is drawn by the graphics card from the page's own thread: waiting for it would hold the page up.
  await page.addInitScript(() => {
    const asked: string[] = []
    Object.assign(window, { asked })
    const { getContext } = HTMLCanvasElement.prototype
    HTMLCanvasElement.prototype.getContext = function (this: HTMLCanvasElement, ...words: [string]) {
      asked.push(words[0])
      return Reflect.apply(getContext, this, words)
    } as typeof getContext
  })
  await page.reload()
  await page.getByLabel('Mesh, recipe or print files').setInputFiles(path)
  await page.waitForSelector('canvas[data-figure*="large"]', { timeout: 90_000 })
  const words = (await page.textContent('.title-block')) ?? ''
  expect(Number(/([\d,]+) triangles/.exec(words)?.[1].replaceAll(',', ''))).toBeGreaterThan(1_000_000)
  expect(Number(await page.getAttribute('canvas.solid', 'data-triangles'))).toBeLessThan(500_000)
  expect(Number(await page.getAttribute('canvas.solid', 'data-triangles'))).toBeGreaterThan(20_000)
  // The bench answers while the worker works.
  await page.waitForSelector('.track', { timeout: 90_000 })
  expect(await page.locator('.working').count()).toBe(1)
  const handle = page.getByRole('slider', { name: 'Height that is looked at' })
  await handle.focus()
  const before = await handle.getAttribute('aria-valuenow')
  await page.keyboard.press('PageUp')
  await expect.poll(() => handle.getAttribute('aria-valuenow'), { timeout: 10_000 }).not.toBe(before)
  const title = await page.textContent('#section-title')
  expect(title).toContain('Section at')
  // Stopped in the middle: what is there stays, and is said to be partial.
  await page.getByRole('button', { name: 'Stop' }).press('Enter')
  await page.waitForSelector('.partial')
  expect(await page.evaluate(() => document.activeElement?.className)).toBe('status')
  expect(await page.locator('.track').count()).toBeGreaterThan(2)
  // Another figure takes its place, and a change of mind ends what it outdates.
  await dropFin(page)
  await expect.poll(() => page.getAttribute('canvas.solid', 'data-triangles'), { timeout: 20_000 }).toBe('48')
  expect(await page.evaluate(() => (window as unknown as { asked: string[] }).asked)).toEqual([])
  expect(complaints).toEqual([])
  await close()
})
