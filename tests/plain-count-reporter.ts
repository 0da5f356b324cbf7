// Prints one plain closing line, "N passed, N failed", that any script can read.
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
    // After the default reporter's own summary.
    process.on('exit', () =>
      process.stdout.write(`\n${passed} passed, ${failed} failed${skipped ? `, ${skipped} skipped` : ''}\n`),
    )
  }
}
