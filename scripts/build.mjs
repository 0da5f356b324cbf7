// Builds the parts into dist: node (command and worker), crew (demo figures), bench (static files).
//   node scripts/build.mjs [--if-needed] [node] [crew] [bench]
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { dirname, join, relative } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { build } from 'vite'

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '..')
const DIST = join(ROOT, 'dist')

/** What each part is made from; a part is fresh while the hash over these files stays the same. */
const SOURCES = {
  node: ['src', 'demo', 'config/vite.node.ts', 'package-lock.json'],
  crew: ['demo', 'src/engine/kernel', 'package-lock.json'],
  bench: ['src', 'demo', 'config/vite.bench.ts', 'package-lock.json'],
}
export const PARTS = Object.keys(SOURCES)

const filesUnder = (path) =>
  readdirSync(path, { withFileTypes: true })
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .flatMap((entry) => (entry.isDirectory() ? filesUnder(join(path, entry.name)) : [join(path, entry.name)]))

const hashOf = (part) => {
  const hash = createHash('sha256')
  for (const source of SOURCES[part]) {
    const path = join(ROOT, source)
    if (!existsSync(path)) continue
    const files = source.includes('.') ? [path] : filesUnder(path).filter((file) => !/\.test\.tsx?$/.test(file))
    for (const file of files) hash.update(relative(ROOT, file)).update(readFileSync(file))
  }
  return hash.digest('hex')
}

const stampOf = (part) => join(DIST, `.${part}-made-from`)
const isFresh = (part, hash) => {
  const stamp = stampOf(part)
  return existsSync(join(DIST, part)) && existsSync(stamp) && readFileSync(stamp, 'utf8') === hash
}

/** Makes a folder beside its final place and swaps it in, so that a build that breaks leaves the old one whole. */
const swapIn = async (part, make) => {
  const made = join(DIST, `.making-${part}-${process.pid}`)
  const old = join(DIST, `.old-${part}-${process.pid}`)
  try {
    await make(made)
    if (existsSync(join(DIST, part))) renameSync(join(DIST, part), old)
    renameSync(made, join(DIST, part))
  } finally {
    rmSync(made, { recursive: true, force: true })
    rmSync(old, { recursive: true, force: true })
  }
}

const viteBuild = (config) => (outDir) =>
  build({ configFile: join(ROOT, config), logLevel: 'error', build: { outDir, emptyOutDir: true } })

const MAKE = {
  node: () => swapIn('node', viteBuild('config/vite.node.ts')),
  crew: () =>
    swapIn('crew', async (outDir) => {
      mkdirSync(outDir, { recursive: true })
      const run = spawnSync(process.execPath, [join(DIST, 'node', 'build-crew.mjs'), outDir], { stdio: 'inherit' })
      if (run.status !== 0) throw new Error(`the crew could not be made (exit code ${run.status})`)
    }),
  bench: () => swapIn('bench', viteBuild('config/vite.bench.ts')),
}

/** Parts whose source is there at all. */
const present = (part) =>
  part === 'node' || existsSync(join(ROOT, part === 'crew' ? 'demo/build-crew.ts' : 'config/vite.bench.ts'))

/** Builds the named parts in order; with `ifNeeded` only those whose sources changed. */
export const buildParts = async (parts = PARTS, { ifNeeded = false, log = console.error } = {}) => {
  mkdirSync(DIST, { recursive: true })
  let crewMade = false
  let benchMade = false
  for (const part of PARTS.filter((name) => parts.includes(name) && present(name))) {
    const hash = hashOf(part)
    if (ifNeeded && isFresh(part, hash)) continue
    log(`building ${part}`)
    rmSync(stampOf(part), { force: true })
    await MAKE[part]()
    writeFileSync(stampOf(part), hash)
    crewMade ||= part === 'crew'
    benchMade ||= part === 'bench'
  }
  if ((crewMade || benchMade) && existsSync(join(DIST, 'crew')) && existsSync(join(DIST, 'bench')))
    cpSync(join(DIST, 'crew'), join(DIST, 'bench', 'crew'), { recursive: true })
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const wanted = process.argv.slice(2).filter((word) => !word.startsWith('--'))
  const unknown = wanted.filter((part) => !PARTS.includes(part))
  if (unknown.length > 0) {
    console.error(`build: no part named "${unknown.join('", "')}"; there are ${PARTS.join(', ')}`)
    process.exit(2)
  }
  await buildParts(wanted.length > 0 ? wanted : PARTS, { ifNeeded: process.argv.includes('--if-needed') })
}
