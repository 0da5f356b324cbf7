// Runs all tests, writes docs/validation.md from the outside checks, and prints "N passed, N failed" as the last line.
//   node scripts/test.mjs [words for vitest ...]    with words, only those tests run and the table is left alone
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { buildParts } from './build.mjs'
import { writeValidation } from './validation.mjs'

const root = join(dirname(fileURLToPath(import.meta.url)), '..')
const words = process.argv.slice(2)
const rows = join(root, '.cache', 'validation')
const countFile = join(root, '.cache', `test-count-${process.pid}.json`)

rmSync(rows, { recursive: true, force: true })
mkdirSync(rows, { recursive: true })

let status = 1
try {
  await buildParts(undefined, { ifNeeded: true })
  const vitest = join(root, 'node_modules', 'vitest', 'vitest.mjs')
  const run = spawnSync(process.execPath, [vitest, 'run', ...words], {
    cwd: root,
    stdio: 'inherit',
    env: { ...process.env, FETTLE_COUNT_FILE: countFile },
  })
  status = run.status ?? 1
  if (words.length === 0) console.log(writeValidation(rows, join(root, 'docs', 'validation.md')))
} catch (error) {
  console.error(error)
}

const count = existsSync(countFile) ? JSON.parse(readFileSync(countFile, 'utf8')) : null
rmSync(countFile, { force: true })
if (count?.skipped) console.log(`${count.skipped} skipped`)
console.log(count ? `${count.passed} passed, ${count.failed} failed` : '0 passed, 1 failed')
process.exit(count ? status : status || 1)
