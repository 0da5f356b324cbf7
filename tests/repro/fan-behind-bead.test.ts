// A fan word between the last bead of a layer and the travel to the next was told as the fan of the bead behind it.

import { expect, test } from 'vitest'
import { inferBeads, readCode } from '../../src/engine/motioncode/index.ts'

test('the fan set after a bead belongs to the beads that follow', async () => {
  const text = [
    'G21 G90',
    'M83',
    'G0 X0 Y0 Z0.2 F6000',
    'G1 X10 E0.4 F1200',
    'M106 S255',
    'G0 Z0.4',
    'G1 X0 E0.4 F1200',
  ].join('\n')
  const read = readCode(new TextEncoder().encode(text))
  if (!read.ok) throw new Error(read.issues[0].message)
  const beads = await inferBeads(read.value)
  expect(beads.ok && [...beads.value.plan.fanShare]).toEqual([0, 1])
})
