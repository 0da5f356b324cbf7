// Guide and hand-out in a real browser: nothing is loaded and nothing runs, they print on A4 and Letter, and they are accessible.

import axe from 'axe-core'
import { type Browser, chromium } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { handOutHtml, publishHtml } from '../../src/guide/index.ts'
import { sampleContent } from '../guide-sample.ts'
import { findBrowser } from './find-browser.ts'

let browser: Browser
beforeAll(async () => {
  browser = await chromium.launch(await findBrowser())
})
afterAll(() => browser.close())

describe.each([
  ['guide', publishHtml],
  ['hand-out', handOutHtml],
] as const)('%s', (name, made) => {
  const html = made(sampleContent())

  test('nothing is loaded, nothing runs, nothing is wider than a small screen', async () => {
    const context = await browser.newContext({ viewport: { width: 360, height: 740 } })
    const page = await context.newPage()
    const asked: string[] = []
    const said: string[] = []
    page.on('request', (request) => asked.push(request.url()))
    page.on('console', (message) => said.push(message.text()))
    page.on('dialog', (dialog) => {
      said.push(dialog.message())
      void dialog.dismiss()
    })
    await page.setContent(html)
    expect(asked.filter((url) => !url.startsWith('data:') && url !== 'about:blank')).toEqual([])
    expect(said).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360)
    expect(await page.locator('h1').count()).toBe(1)
    await context.close()
  })

  test.each(['light', 'dark'] as const)('no accessibility faults, %s', async (colorScheme) => {
    const context = await browser.newContext({ bypassCSP: true, colorScheme })
    const page = await context.newPage()
    await page.setContent(html)
    await page.evaluate(axe.source)
    const { violations } = await page.evaluate(() => (globalThis as unknown as { axe: typeof axe }).axe.run())
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([])
    await context.close()
  })

  test.each(['A4', 'Letter'] as const)(
    'set for %s it prints on that paper, and nothing is cut off at the side',
    async (paper) => {
      const page = await browser.newPage()
      await page.setContent(made(sampleContent({ paper })))
      const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1')
      const [, width, height] = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf) ?? []
      const wanted = paper === 'A4' ? [595, 842] : [612, 792]
      expect(Math.abs(Number(width) - wanted[0])).toBeLessThan(2)
      expect(Math.abs(Number(height) - wanted[1])).toBeLessThan(2)
      const pages = pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0
      expect(pages).toBeGreaterThan(1)
      expect(pages).toBeLessThan(name === 'guide' ? 11 : 5)
      await page.emulateMedia({ media: 'print' })
      await page.setViewportSize({ width: paper === 'A4' ? 688 : 710, height: 900 })
      expect(
        await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth),
      ).toBe(0)
      // Cautions are never left out on paper.
      expect(await page.locator('.cautions').isVisible()).toBe(true)
      await page.close()
    },
  )
})

test('the sculpt can be taken out of the page where it was put in', async () => {
  const page = await browser.newPage()
  const bytes = new TextEncoder().encode('solid keeper')
  await page.setContent(publishHtml(sampleContent({ sculpt: { name: 'keeper.stl', bytes } })))
  const [download] = await Promise.all([page.waitForEvent('download'), page.locator('a[download]').click()])
  expect(download.suggestedFilename()).toBe('keeper.stl')
  await page.close()
})
