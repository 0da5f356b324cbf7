// The browser for the tests starts, draws and counts.
import { chromium } from 'playwright-core'
import { expect, test } from 'vitest'
import { findBrowser } from './find-browser.ts'

test('a browser is found, runs script and has WebGL', async () => {
  const browser = await chromium.launch(await findBrowser())
  try {
    const page = await browser.newPage()
    await page.setContent('<p id="p">ferry</p>')
    expect(await page.locator('#p').textContent()).toBe('ferry')
    const gl = await page.evaluate(() => document.createElement('canvas').getContext('webgl2') !== null)
    expect(gl).toBe(true)
  } finally {
    await browser.close()
  }
})
