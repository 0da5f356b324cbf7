// The bench in a browser: time to the first picture, and the longest piece of work on the page's own thread while it examines.
// Needs the built bench and the browser of the tests; without them there are no rows.

import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { type Ground, layGround } from '../tests/browser/open-bench.ts'
import { untilWhole } from '../tests/browser/take-screens.ts'
import { largeFigure } from '../tests/large-figure.ts'
import type { BenchRow } from './least.ts'

interface Seen {
  readonly longest: number
  readonly count: number
}

/** A page that notes every piece of work of 50 ms and more, by the browser's own record. */
const watched = async ({ browser, served }: Ground, hash: string): Promise<Page> => {
  const context = await browser.newContext({ viewport: { width: 1440, height: 1000 }, serviceWorkers: 'block' })
  const page = await context.newPage()
  await page.addInitScript(() => {
    const seen: number[] = []
    Object.assign(window, { seenTasks: seen })
    new PerformanceObserver((list) => {
      for (const { duration } of list.getEntries()) seen.push(duration)
    }).observe({ type: 'longtask', buffered: true })
  })
  await page.goto(served.address + hash)
  return page
}

const seen = (page: Page): Promise<Seen> =>
  page.evaluate(() => {
    const tasks = (window as unknown as { seenTasks: number[] }).seenTasks
    return { longest: Math.max(0, ...tasks), count: tasks.length }
  })

const row = (subject: string, oursS: number, note: string): BenchRow => ({
  subject,
  against: '',
  oursS,
  theirsS: Number.NaN,
  note,
})

const taskRow = (subject: string, { longest, count }: Seen): BenchRow =>
  row(
    subject,
    longest / 1000,
    longest ? `${count} of 50 ms and more; the browser draws without a graphics card` : 'none of 50 ms and more',
  )

/** Rows for a small figure of the crew, and for one of 1.36 million triangles up to the first findings. */
const run = async (): Promise<BenchRow[]> => {
  if (!existsSync('dist/bench/index.html') || !existsSync('dist/crew/keeper.ply')) return []
  const ground = await layGround()
  const folder = mkdtempSync(join(tmpdir(), 'fettle-bench-page-'))
  try {
    let start = performance.now()
    const keeper = await watched(ground, '#figure=keeper')
    await keeper.waitForSelector('canvas[data-figure]:not([data-figure=""])', { timeout: 120_000 })
    const rows = [row('bench: from nothing to the first picture of the keeper', (performance.now() - start) / 1000, '')]
    await untilWhole(keeper)
    rows.push(row('bench: whole sheet of the keeper', (performance.now() - start) / 1000, 'two cores'))
    rows.push(taskRow('bench: longest task of the page, keeper', await seen(keeper)))
    await keeper.context().close()

    const path = join(folder, 'large keeper.ply')
    writeFileSync(path, await largeFigure())
    const large = await watched(ground, '#figure=none')
    await large.waitForSelector('.verdict')
    start = performance.now()
    await large.getByLabel('Mesh, recipe or print files').setInputFiles(path)
    await large.waitForSelector('canvas[data-figure*="large"]', { timeout: 240_000 })
    rows.push(row('bench: first picture of 1.36 million triangles', (performance.now() - start) / 1000, ''))
    await large.waitForSelector('.findings-head p:not(:text("are being looked for"))', { timeout: 240_000 })
    rows.push(taskRow('bench: longest task of the page, 1.36 million triangles', await seen(large)))
    return rows
  } finally {
    await ground.close()
    rmSync(folder, { recursive: true, force: true })
  }
}

export default run
