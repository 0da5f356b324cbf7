// Where the visitor was: after a reload, in a second tab, after the tab was closed, and in a link.

import { afterAll, beforeAll, expect, test } from 'vitest'
import { dropFin, type Ground, layGround, openBench } from './open-bench.ts'
import { untilWhole } from './take-screens.ts'

let ground: Ground
beforeAll(async () => {
  ground = await layGround()
})
afterAll(() => ground?.close())

const steps = (page: import('playwright-core').Page) => page.locator('.steps li').allTextContents()

test('reload, second tab and a closed tab: file, steps, height and choices are there again', async () => {
  const { page, complaints, close } = await openBench(ground, {}, false, '#figure=none')
  await dropFin(page)
  await page.getByRole('button', { name: 'Size and recipe' }).click()
  await page.getByLabel('Layer height', { exact: true }).fill('0.2')
  await page.getByRole('button', { name: 'Examine with these' }).click()
  await page.waitForSelector('.scale-line:has-text("layers of 0.20 mm")')
  await untilWhole(page)
  await page.getByRole('slider', { name: 'Height that is looked at' }).focus()
  await page.keyboard.press('Home')
  await page.keyboard.press('PageUp')
  await page.getByRole('button', { name: 'choose tracks' }).click()
  await page.locator('.track-list input').first().uncheck()
  await page.keyboard.press('Escape')
  await page.getByLabel('inches beside millimetres').check()
  expect(await page.textContent('.scale-line')).toMatch(/mm \(\d\.\d\d in\)/)
  const height = await page.getByRole('slider', { name: 'Height that is looked at' }).getAttribute('aria-valuenow')
  const captions = await page.locator('.track h3').allTextContents()
  const before = await steps(page)
  expect(before).toHaveLength(2)
  // The address follows a moment later.
  await page.waitForFunction((mm) => location.hash.includes(`height=${Number(mm).toFixed(2)}`), height)
  await page.waitForFunction(() => location.hash.includes('tracks='))
  // A name or content of the visitor's file never stands in the address.
  expect(page.url()).not.toContain('fin')

  await page.reload()
  await untilWhole(page)
  expect(await page.textContent('h1')).toBe('fin figure')
  expect(await steps(page)).toEqual(before)
  expect(await page.textContent('.scale-line')).toContain('layers of 0.20 mm')
  expect(await page.getByRole('slider', { name: 'Height that is looked at' }).getAttribute('aria-valuenow')).toBe(
    height,
  )
  expect(await page.locator('.track h3').allTextContents()).toEqual(captions)
  expect(await page.getByLabel('inches beside millimetres').isChecked()).toBe(true)

  // A second tab takes the same place up and goes on from there; the first one keeps its own.
  const second = await page.context().newPage()
  second.on('pageerror', (fault) => complaints.push(String(fault)))
  await second.goto(ground.served.address)
  await untilWhole(second)
  expect(await second.textContent('h1')).toBe('fin figure')
  await second.keyboard.press('Control+z')
  await second.waitForSelector('.scale-line:has-text("layers of 0.10 mm")')
  await untilWhole(second)
  expect(await page.textContent('.scale-line')).toContain('layers of 0.20 mm')
  await page.reload()
  await untilWhole(page)
  expect(await page.textContent('.scale-line')).toContain('layers of 0.20 mm')

  // Both are closed; the next one begins where the last one was.
  await second.close()
  const context = page.context()
  await page.close()
  const third = await context.newPage()
  await third.goto(ground.served.address)
  await untilWhole(third)
  expect(await third.textContent('h1')).toBe('fin figure')

  // Forgotten on request: the file is gone from the browser's store.
  await third.getByRole('button', { name: 'Forget the files' }).click()
  await third.waitForFunction(
    () =>
      new Promise((resolve) => {
        const opening = indexedDB.open('fettle files', 1)
        opening.onsuccess = () => {
          const counting = opening.result.transaction('files').objectStore('files').count()
          counting.onsuccess = () => {
            resolve(counting.result === 0)
            opening.result.close()
          }
        }
      }),
  )
  expect(complaints).toEqual([])
  await close()
}, 240_000)

test('a link names a figure of the crew, a height and a page; way back and forth follow', async () => {
  const { page, close } = await openBench(ground, {}, false, '#figure=ferry-dog&height=4&page=pictures')
  await page.waitForSelector('h1:has-text("ferry dog")')
  expect(await page.textContent('#beside-title')).toBe('Pictures')
  await page.keyboard.press('Escape')
  await page.waitForSelector('.board')
  expect(page.url()).not.toContain('page=')
  await page.goBack()
  await page.waitForSelector('#beside-title')
  await page.keyboard.press('0')
  await page.waitForSelector('.board')
  await close()
})
