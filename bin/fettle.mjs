#!/usr/bin/env node
// Starts the built command; says how to build it when it is not there.
import { existsSync } from 'node:fs'

const built = new URL('../dist/node/fettle.mjs', import.meta.url)
if (existsSync(built)) await import(built.href)
else {
  console.error('fettle: the command is not built yet; run "npm run build" in its folder first')
  process.exitCode = 4
}
