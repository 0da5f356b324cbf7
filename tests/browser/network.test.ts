// The bench and the network: nobody else is asked for anything, the first load is small, and without a network it goes on working.

import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { dropFin, type Ground, layGround, openBench } from './open-bench.ts'

let ground: Ground
beforeAll(async () => {
  ground = await layGround()
})
afterAll(() => ground?.close())

test('the first load is below 100 kB of script and style, and all before the heavy parts below 300 kB', async () => {
  const context = await ground.browser.newContext({ serviceWorkers: 'block' })
  const page = await context.newPage()
  const sizes = new Map<string, number>()
  page.on('response', async (response) => {
    const path = new URL(response.url()).pathname
    const body = await response.body().catch(() => null)
    if (body) sizes.set(path, gzipSync(body).length)
  })
  await page.goto(`${ground.served.address}#figure=none`)
  await page.waitForSelector('.verdict')
  await page.waitForLoadState('networkidle')
  const total = (pattern: RegExp) =>
    [...sizes].filter(([path]) => pattern.test(path)).reduce((sum, [, size]) => sum + size, 0)
  // The solid view is the heavy part: it comes by itself, beside the page.
  expect(total(/(index|jsxRuntime|preact)[^/]*\.(js|css)$/)).toBeGreaterThan(20_000)
  const light = [...sizes].filter(([path]) => /\.(js|css)$/.test(path) && !/worker|solid-view/.test(path))
  expect(light.reduce((sum, [, size]) => sum + size, 0)).toBeLessThan(100_000)
  await context.close()
})

test('no page asks another origin for anything, and no page is refused anything by the policy', async () => {
  const { page, foreign, complaints, close } = await openBench(ground, {}, false, '#figure=none')
  await dropFin(page)
  const names = await page.locator('.pages button').allTextContents()
  expect(names).toContain('Pictures')
  for (const name of names) {
    await page.getByRole('button', { name, exact: true }).first().click()
    await page.waitForSelector(`#beside-title:text-is("${name}")`)
    await page.waitForLoadState('networkidle')
  }
  const policy = await page.getAttribute('meta[http-equiv="Content-Security-Policy"]', 'content')
  expect(policy).toContain("default-src 'none'")
  expect(policy).toContain("connect-src 'self'")
  expect(policy).not.toContain('unsafe-inline')
  // A request to another origin does not leave the browser.
  const sent = await page.evaluate(() =>
    fetch('https://elsewhere.invalid/').then(
      () => 'sent',
      () => 'refused',
    ),
  )
  expect(sent).toBe('refused')
  expect(foreign).toEqual([])
  expect(complaints.filter((text) => !text.includes('elsewhere.invalid'))).toEqual([])
  await close()
})

test('works without a network after the first visit, pages beside the sheet included', async () => {
  const { page, complaints, close } = await openBench(ground, { serviceWorkers: 'allow' }, false, '#figure=none')
  await page.waitForSelector('.cautions:has-text("Kept for use without a network")', { timeout: 60_000 })
  await page.context().setOffline(true)
  await page.reload()
  await page.getByLabel('Figure', { exact: true }).selectOption({ label: 'The ferry dog' })
  await page.waitForSelector('h1:has-text("ferry dog")')
  await page.waitForSelector('.finding', { timeout: 90_000 })
  await page.getByRole('button', { name: 'Pictures' }).click()
  await page.waitForSelector('.picture-preview')
  expect(complaints).toEqual([])
  await close()
}, 240_000)
