// A nearly round leftover inside two shells once got two arcs that together held half as much again as its room.

import { expect, test } from 'vitest'
import { BEAD_WISHES_DEFAULTS, planBeads } from '../../src/engine/beads/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { type Loop, stackByHand } from '../stack-by-hand.ts'

test('a rod of radius 1.1167 mm with beads of 0.4 mm is filled once', async () => {
  const radius = 1.1167347839491295
  const loop: Loop = Array.from({ length: 90 }, (_, i) => {
    const a = (2 * Math.PI * i) / 90
    return [radius * Math.cos(a), radius * Math.sin(a)]
  })
  const wishes = {
    ...BEAD_WISHES_DEFAULTS,
    nPrimingLoops: 0,
    flowShare: 1,
    infillShare: 1,
    leftoverPoints: 'deposit' as const,
  }
  const { plan } = await planBeads(stackByHand([[[loop]]], 0.1), wishes, await loadPolygonKit())
  const laid = plan.volume.reduce((a, b) => a + b, 0) / 0.1
  const room = Math.PI * radius ** 2 - Math.PI * radius * 0.1 * (1 - Math.PI / 4)
  expect(Math.abs(laid / room - 1)).toBeLessThan(0.01)
})
