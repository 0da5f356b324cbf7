// Runs all tests.
import { spawnSync } from 'node:child_process'

const run = spawnSync('npx', ['vitest', 'run', ...process.argv.slice(2)], { stdio: 'inherit' })
process.exit(run.status ?? 1)
