// Help, manual, completion, version: made from one table; the help of "examine" is kept as a golden file.

import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { VERBS } from '../../src/cli/verbs.ts'
import { fettle } from './run-fettle.ts'

const golden = (name: string): string => join(process.cwd(), 'tests', 'command', 'golden', name)

test('no words: short help with two examples', async () => {
  const { code, out, err } = await fettle([])
  expect([code, err]).toEqual([0, ''])
  await expect(out).toMatchFileSnapshot(golden('help.txt'))
  expect(out.match(/^ {2}fettle examine /gm)).toHaveLength(2)
  expect((await fettle(['--help'])).out).toBe(out)
  expect((await fettle(['help'])).out).toBe(out)
})

test('help of a verb is the same by both ways, and fits 80 columns', async () => {
  const { code, out } = await fettle(['help', 'examine'])
  expect(code).toBe(0)
  await expect(out).toMatchFileSnapshot(golden('help-examine.txt'))
  expect((await fettle(['examine', '--help'])).out).toBe(out)
  for (const word of ['130', '3', '(otherwise', '--json', '-o, --out FILE', 'crew:keeper']) expect(out).toContain(word)
})

test('every verb has help and a manual page that fit 80 columns', async () => {
  for (const { name } of VERBS) {
    const help = await fettle(['help', name])
    const manual = await fettle(['manual', name])
    expect([help.code, manual.code]).toEqual([0, 0])
    for (const part of ['NAME', 'SYNOPSIS', 'DESCRIPTION', 'OPTIONS', 'EXIT STATUS', 'FILES', 'EXAMPLES'])
      expect(manual.out).toContain(`${part}\n`)
    const prose = `${help.out}${manual.out}`.split('\n').filter((line) => !line.startsWith('  fettle '))
    expect(prose.filter((line) => line.length > 80)).toEqual([])
  }
})

test('the version is that of the package', async () => {
  const { version } = JSON.parse(readFileSync('package.json', 'utf8'))
  expect((await fettle(['--version'])).out).toBe(`fettle ${version}\n`)
})

test('a mistyped verb gets a hint, an unknown one the list', async () => {
  const near = await fettle(['examin', 'x.stl'])
  expect(near.code).toBe(2)
  expect(near.err).toContain('did you mean examine?')
  const far = await fettle(['help', 'dance'])
  expect(far.code).toBe(2)
  expect(far.err).toMatch(/there are examine, code, recipe, .*crew/)
})

test('missing and surplus words are wrong use', async () => {
  expect((await fettle(['examine'])).code).toBe(2)
  expect((await fettle(['completion', 'tcsh'])).code).toBe(2)
  expect((await fettle(['crew', 'keeper'])).code).toBe(2)
})

test('completion scripts name all verbs and options, and bash takes its own', async () => {
  const scripts = await Promise.all(['bash', 'zsh', 'fish'].map((shell) => fettle(['completion', shell])))
  for (const { code, out } of scripts) {
    expect(code).toBe(0)
    for (const { name, options } of VERBS) {
      expect(out).toContain(name)
      for (const { long } of options) expect(out).toContain(long)
    }
  }
  const probe = `${scripts[0].out}
COMP_WORDS=(fettle examine x.stl --fail-on br); COMP_CWORD=4; _fettle; echo "\${COMPREPLY[@]}"
COMP_WORDS=(fettle examine --sc); COMP_CWORD=2; _fettle; echo "\${COMPREPLY[@]}"
COMP_WORDS=(fettle ex); COMP_CWORD=1; _fettle; echo "\${COMPREPLY[@]}"`
  const said = execFileSync('bash', ['-c', probe], { encoding: 'utf8' })
  expect(said).toBe('breaks\n--scale-height\nexamine\n')
})
