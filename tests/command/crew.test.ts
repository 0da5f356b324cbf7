// The built-in crew in the command: listed, examined by name, in the size they were modelled for, with the faults they are known for.

import { expect, test } from 'vitest'
import { CREW } from '../../demo/crew.ts'
import { fettle } from './run-fettle.ts'

test('the crew is listed in words and as data', async () => {
  const { code, out } = await fettle(['crew'])
  expect(code).toBe(0)
  for (const { id, name } of CREW) expect(out).toContain(`crew:${id}  ${name}`)
  const data = JSON.parse((await fettle(['crew', '--json'])).out)
  expect(data.figures.map(({ word }: { word: string }) => word)).toEqual(CREW.map(({ id }) => `crew:${id}`))
})

test('a name that nobody has gets the list, exit code 3', async () => {
  const { code, err } = await fettle(['examine', 'crew:captain'])
  expect(code).toBe(3)
  expect(err).toContain('crew:keeper, crew:lamplighter')
})

test('the keeper stands 28 mm to the eye; the shaft of his boat-hook holds one shell and a core of 0.4 mm', async () => {
  const { code, out } = await fettle(['examine', 'crew:keeper', '--json'])
  expect(code).toBe(0)
  const { summary, findings } = JSON.parse(out)
  expect(summary.soleToEyeMm).toBeCloseTo(28, 3)
  const limb = findings.find(({ title }: { title: string }) => /limb 1\.2 mm/.test(title))
  const evidence = Object.fromEntries(
    limb.evidence.map((one: { label: string; value: number }) => [one.label, one.value]),
  )
  expect(evidence['shells that fit']).toBe(1)
  expect(evidence['core left in the middle']).toBeGreaterThan(0.37)
  expect(evidence['core left in the middle']).toBeLessThan(0.43)
})

test('the lamplighter has a part that starts in mid air, and a ribbon that vanishes', async () => {
  const { code, out } = await fettle(['examine', 'crew:lamplighter', '--json', '--fail-on', 'breaks'])
  expect(code).toBe(1)
  const rules = JSON.parse(out)
    .findings.filter(({ severity }: { severity: string }) => severity === 'breaks')
    .map(({ rule }: { rule: string }) => rule)
  expect(rules).toContain('starts-in-air')
  expect(rules).toContain('vanishes')
})

test('a wish on the command line wins over what is known of the crew', async () => {
  const { out } = await fettle(['examine', 'crew:ferry-dog', '--json', '--total-height', '20'])
  expect(JSON.parse(out).summary.totalHeightMm).toBeCloseTo(20, 3)
})
