// Takes the pictures in docs/screens from the built bench: node scripts/screens.mjs [DIST] [FOLDER] [NAME ...]
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { runnerImport } from 'vite'

const root = join(dirname(fileURLToPath(import.meta.url)), '..')
const [dist = join(root, 'dist', 'bench'), folder = join(root, 'docs', 'screens'), ...names] = process.argv.slice(2)
const { module } = await runnerImport(join(root, 'tests', 'browser', 'take-screens.ts'))
for (const path of await module.takeScreens(dist, folder, undefined, names)) console.log(path)
