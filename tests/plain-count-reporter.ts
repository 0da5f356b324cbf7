// Counts passed and failed tests: for scripts/test.mjs, which prints the closing line, or else prints it itself.
import { writeFileSync } from 'node:fs'
import type { Reporter, TestModule } from 'vitest/node'

export default class PlainCountReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], unhandled: readonly unknown[]): void {
    let passed = 0
    let failed = unhandled.length
    let skipped = 0
    for (const module of modules) {
      failed += module.errors().length
      for (const test of module.children.allTests()) {
        const state = test.result().state
        if (state === 'passed') passed++
        else if (state === 'failed') failed++
        else skipped++
      }
    }
    const file = process.env.FETTLE_COUNT_FILE
    if (file) writeFileSync(file, JSON.stringify({ passed, failed, skipped }))
    // After the default reporter's own summary.
    else process.on('exit', () => process.stdout.write(`\n${passed} passed, ${failed} failed\n`))
  }
}
