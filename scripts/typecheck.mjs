// Type checks every part with its own globals: the engine sees neither DOM nor Node.
import { spawnSync } from 'node:child_process'

let failed = false
for (const part of ['engine', 'node', 'bench']) {
  const run = spawnSync('npx', ['tsc', '-p', `config/tsconfig.${part}.json`], { stdio: 'inherit' })
  if (run.status !== 0) {
    console.error(`type check of ${part} failed`)
    failed = true
  }
}
process.exit(failed ? 1 : 0)
