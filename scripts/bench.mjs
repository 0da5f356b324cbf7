// Runs benchmarks/*.bench.ts, prints our times beside those of named general libraries, and writes docs/benchmarks.md.
//   node scripts/bench.mjs [word ...]    with words, only benchmarks with such a word in their name, and nothing is written
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { availableParallelism, cpus, tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'

const root = join(dirname(fileURLToPath(import.meta.url)), '..')
const built = join(root, 'dist', 'benchmarks')

/** Runs one benchmark in a process of its own, so that none works with the heap that another left. */
const rowsOf = (file) => {
  const folder = mkdtempSync(join(tmpdir(), 'fettle-bench-'))
  const answer = join(folder, 'rows.json')
  const script = `
    const { default: run } = await import(${JSON.stringify(join(built, file))})
    const { writeFileSync } = await import('node:fs')
    const rows = await run()
    const peakMb = process.resourceUsage().maxRSS / 1024
    writeFileSync(${JSON.stringify(answer)}, JSON.stringify({ rows, peakMb }))`
  const run = spawnSync(process.execPath, ['--input-type=module', '-e', script], { stdio: 'inherit', cwd: root })
  try {
    if (run.status !== 0) throw new Error(`${file} ended with code ${run.status}`)
    return JSON.parse(readFileSync(answer, 'utf8'))
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

const seconds = (value) =>
  value === null ? '' : value < 1 ? `${(value * 1000).toPrecision(3)} ms` : `${value.toPrecision(3)} s`
const ratio = ({ oursS, theirsS }) => (theirsS === null ? '' : (oursS / theirsS).toPrecision(2))

const words = process.argv.slice(2)
await build({ configFile: join(root, 'config/vite.benchmarks.ts'), build: { emptyOutDir: true } })
const files = readdirSync(built)
  .filter((file) => file.endsWith('.bench.mjs') && (words.length === 0 || words.some((word) => file.includes(word))))
  .sort()

const all = []
let failed = false
for (const file of files) {
  console.log(`\n${file.replace('.bench.mjs', '')}`)
  try {
    const { rows, peakMb } = rowsOf(file)
    for (const row of rows) {
      all.push(row)
      const beside = row.theirsS === null ? '' : `; ${row.against}: ${seconds(row.theirsS)}, ratio ${ratio(row)}`
      console.log(`  ${row.subject}: ${seconds(row.oursS)}${beside}${row.note ? ` (${row.note})` : ''}`)
    }
    console.log(`  most memory ${Math.round(peakMb)} MB`)
  } catch (error) {
    failed = true
    console.error(`  ${error instanceof Error ? error.message : error}`)
  }
}

if (words.length === 0 && !failed) {
  const cell = (text) => String(text).replace(/\|/g, '\\|')
  const lines = all.map(
    (row) =>
      `| ${[row.subject, seconds(row.oursS), row.against, seconds(row.theirsS), ratio(row), row.note].map(cell).join(' | ')} |`,
  )
  const machine = `${cpus()[0]?.model.trim() ?? 'unknown processor'}, ${availableParallelism()} cores, Node ${process.versions.node}`
  writeFileSync(
    join(root, 'docs', 'benchmarks.md'),
    `# Benchmarks

Written by \`npm run bench\`: least time of several runs, ours and theirs measured in one run on the same work. A ratio below 1 means that
ours takes less time. Measured on ${machine}.

| subject | ours | against | theirs | ratio | note |
|---|---|---|---|---|---|
${lines.join('\n')}
`,
  )
  console.log('\nwrote docs/benchmarks.md')
}
process.exit(failed ? 1 : 0)
