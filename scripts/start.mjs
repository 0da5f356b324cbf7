// Builds what is not up to date, examines a built-in figure, prints the summary, and serves the bench until Ctrl-C.
//   node scripts/start.mjs [--port N]
import { spawn, spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { buildParts } from './build.mjs'

const root = join(dirname(fileURLToPath(import.meta.url)), '..')
const command = join(root, 'bin', 'fettle.mjs')
const port = process.argv.includes('--port') ? process.argv.slice(process.argv.indexOf('--port'), 4) : []

await buildParts(undefined, { ifNeeded: true })

const examined = spawnSync(process.execPath, [command, 'examine', 'crew:keeper'], { stdio: 'inherit' })
if (examined.status !== 0) console.error(`the built-in figure could not be examined (exit code ${examined.status})`)
if (examined.status === 130) process.exit(130)
if (!existsSync(join(root, 'dist', 'bench', 'index.html'))) process.exit(examined.status ?? 1)

console.log('')
const server = spawn(process.execPath, [command, 'serve', ...port], { stdio: 'inherit' })
// A terminal sends Ctrl-C to both; other senders reach this process only, so it is passed on. A second one ends the server at once.
for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => server.kill('SIGTERM'))
server.on('exit', (code) => process.exit(code === 130 ? 0 : (code ?? 1)))
