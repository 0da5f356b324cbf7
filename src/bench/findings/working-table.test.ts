import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { RULES } from '../../engine/findings/index.ts'
import { RECIPE_WORKINGS, WORKINGS, workingOf } from './working-table.ts'

/** Names of the checks for contradictions, read from where they are written. */
const contradictions = (): string[] => {
  const text = readFileSync('src/engine/findings/rules/recipe-contradictions.ts', 'utf8')
  return [...text.matchAll(/^ +id: '([a-z-]+)',$/gm)].map(([, id]) => id)
}

test('every kind of finding opens to a formula, and to a source with a name, a year or a plain word that there is none', () => {
  const plain = RULES.filter(({ id }) => !id.startsWith('recipe')).map(({ id }) => ({ id, rule: id }))
  const checks = contradictions()
  expect(plain.length).toBeGreaterThan(30)
  expect(checks.length).toBeGreaterThan(10)
  const recipes = [
    ...[...checks, 'layer-over-bore', 'first-layer-over-bore'].map((id) => `recipe-contradiction:${id}`),
    'recipe-departure:shells',
  ].map((id) => ({ id, rule: id.slice(0, id.indexOf(':')) }))
  for (const finding of [...plain, ...recipes]) {
    const working = workingOf(finding)
    expect(working, finding.id).not.toBeNull()
    expect(working?.formula.length, finding.id).toBeGreaterThan(4)
    expect(working?.source.length, finding.id).toBeGreaterThan(4)
  }
})

test('no working stands there for a rule or check that is not', () => {
  const rules = new Set([...RULES.map(({ id }) => id), 'differs from the plan', 'of the file itself'])
  for (const id of Object.keys(WORKINGS)) expect(rules.has(id), id).toBe(true)
  const checks = new Set([...contradictions(), 'layer-over-bore', 'first-layer-over-bore'])
  for (const id of Object.keys(RECIPE_WORKINGS)) expect(checks.has(id), id).toBe(true)
})
