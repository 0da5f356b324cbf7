// The papers: links lead somewhere, code blocks run, commands and scripts that are named exist, the order of rooms is told.

import { existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs'
import { dirname, join, normalize } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { COMMON_OPTIONS } from '../../src/cli/verb-row.ts'
import { VERBS } from '../../src/cli/verbs.ts'
import { RANKS } from './ranks.ts'
import { filesIn, ROOT, read } from './sources.ts'

const papers = ['README.md', 'CHANGELOG.md', ...filesIn('docs').filter((file) => file.endsWith('.md'))]

/** Name of a heading in a link, as code hosts make it. */
const anchor = (heading: string): string =>
  heading
    .toLowerCase()
    .replace(/[^\p{L}\p{N} _-]/gu, '')
    .replaceAll(' ', '-')

const anchorsOf = (file: string): string[] => [...read(file).matchAll(/^#+ (.+)$/gm)].map(([, text]) => anchor(text))
const blocksOf = (file: string, language: string): string[] =>
  [...read(file).matchAll(/^```(\w+)\n([\s\S]*?)^```/gm)]
    .filter(([, name]) => name === language)
    .map(([, , body]) => body)

test.each(['README.md', 'docs/architecture.md', 'docs/models.md', 'docs/adding.md', 'CHANGELOG.md'])(
  '%s is there',
  (file) => {
    expect(read(file).length).toBeGreaterThan(200)
  },
)

describe.each(papers)('%s', (file) => {
  test('links lead to files and headings that are there', () => {
    const dead = [...read(file).matchAll(/\[[^\]]*\]\(([^)\s]+)\)/g)]
      .map(([, target]) => target)
      .filter((target) => !/^(https?|mailto):/.test(target))
      .filter((target) => {
        const [path, heading] = target.split('#')
        const whole = path ? normalize(join(dirname(file), path)) : file
        // Written by the test run itself, so it may not be there yet.
        if (whole === 'docs/validation.md' || whole === 'docs/benchmarks.md') return false
        return !existsSync(join(ROOT, whole)) || (heading !== undefined && !anchorsOf(whole).includes(heading))
      })
    expect(dead).toEqual([])
  })

  test('scripts of the package that are named exist', () => {
    const { scripts } = JSON.parse(read('package.json'))
    const named = [...read(file).matchAll(/npm run ([a-z-]+)/g)].map(([, name]) => name)
    expect(named.filter((name) => scripts[name] === undefined)).toEqual([])
  })

  test('paths that are named exist', () => {
    const named = [...read(file).matchAll(/`((?:src|tests|config|scripts|benchmarks|docs)\/[\w./-]+)`/g)].map(
      ([, path]) => path,
    )
    const known = named.filter((path) => !/NAME/.test(path))
    expect(
      known.filter((path) => !existsSync(join(ROOT, path)) && !/docs\/(validation|benchmarks)\.md/.test(path)),
    ).toEqual([])
  })

  test('commands that are named have that verb and those options', () => {
    const inline = [...read(file).matchAll(/`(?:npx )?fettle ([^`\n]+)`/g)].map(([, line]) => line)
    const inBlocks = blocksOf(file, 'sh').flatMap((body) =>
      [...body.matchAll(/^(?:npx )?fettle (.+)$/gm)].map(([, line]) => line),
    )
    const wrong = [...inline, ...inBlocks].filter((line) => {
      const [name, ...rest] = line.split(/\s+/)
      const verb = VERBS.find((row) => row.name === name)
      const known = [...(verb?.options ?? []), ...COMMON_OPTIONS].map(({ long }) => `--${long}`)
      return !verb || rest.some((word) => word.startsWith('--') && !known.includes(word))
    })
    expect(wrong).toEqual([])
  })
})

describe('code blocks run', () => {
  const folder = join(ROOT, '.cache', 'doc-blocks')
  const blocks = papers.flatMap((file) => blocksOf(file, 'ts').map((code, i) => ({ file, code, i })))
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  test.each(blocks)('$file, block $i', async ({ file, code, i }) => {
    mkdirSync(folder, { recursive: true })
    const path = join(folder, `${file.replaceAll('/', '-')}-${i}.ts`)
    // Written as if it stood in docs; moved two folders deep.
    writeFileSync(path, `// From ${file}.\n${code.replaceAll("'../src/", "'../../src/")}`)
    await import(/* @vite-ignore */ path)
  })
})

test('the table of rooms in docs/architecture.md has the order that is checked', () => {
  const rows = [...read('docs/architecture.md').matchAll(/^\| (\d+) \| (.+?) \|/gm)]
  const told = RANKS.map((_, i) =>
    rows
      .filter(([, line]) => Number(line) === i + 1)
      .flatMap(([, , rooms]) => [...rooms.matchAll(/`([^`]+)`/g)].map(([, room]) => room)),
  )
  expect(told).toEqual(RANKS)
})
