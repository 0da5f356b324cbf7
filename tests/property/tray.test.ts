// Whatever the outlines: nothing on a bed meets, all of it lies on the bed, and nothing is lost or doubled.

import fc from 'fast-check'
import { beforeAll, expect, test } from 'vitest'
import type { PolygonKit, Polygons } from '../../src/engine/kernel/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { goodInTurn, goodTogether, leastGap, outlineAt, placeTray, shareOut } from '../../src/tray/index.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})

const outline = fc.array(fc.double({ min: 3, max: 25, noNaN: true }), { minLength: 5, maxLength: 14 }).map(
  (radii): Polygons => ({
    loopStart: Uint32Array.of(0, radii.length),
    points: Float64Array.from(
      radii.flatMap((r, i) => [
        r * Math.cos((2 * Math.PI * i) / radii.length),
        r * Math.sin((2 * Math.PI * i) / radii.length),
      ]),
    ),
  }),
)

test('stars of any shape: gap kept, within the bed, every piece once', () => {
  fc.assert(
    fc.property(
      fc.array(fc.tuple(outline, fc.integer({ min: 1, max: 4 })), { minLength: 1, maxLength: 4 }),
      fc.double({ min: 0.5, max: 6, noNaN: true }),
      (wishes, gapMm) => {
        const outlines = wishes.map(([o]) => o)
        const copies = wishes.map(([, n]) => n)
        const bed = { xMm: 140, yMm: 120, marginMm: 4, gapMm }
        const { loads, leftOver } = placeTray(outlines, copies, bed, kit)
        expect(leftOver).toEqual([])
        const count = outlines.map((_, f) =>
          loads.reduce((n, { places }) => n + places.filter(({ figure }) => figure === f).length, 0),
        )
        expect(count).toEqual(copies)
        for (const { places } of loads) {
          expect(leastGap(places, outlines)).toBeGreaterThanOrEqual(gapMm - 1e-9)
          for (const place of places) {
            const { points } = outlineAt(outlines[place.figure], place)
            for (let i = 0; i < points.length; i += 2) {
              expect(points[i]).toBeGreaterThanOrEqual(4 - 1e-6)
              expect(points[i]).toBeLessThanOrEqual(136 + 1e-6)
              expect(points[i + 1]).toBeGreaterThanOrEqual(4 - 1e-6)
              expect(points[i + 1]).toBeLessThanOrEqual(116 + 1e-6)
            }
          }
        }
      },
    ),
    { numRuns: 25 },
  )
})

test('one after another never loses more than all at once', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 40 }),
      fc.double({ min: 0.1, max: 5, noNaN: true }),
      fc.double({ min: 0, max: 0.2, noNaN: true }),
      (n, hours, hazard) => {
        expect(goodInTurn(n, hours, hazard)).toBeGreaterThanOrEqual(goodTogether(n, hours, hazard) - 1e-9)
      },
    ),
  )
})

test('a calendar holds every plate that fits, and no printer twice at once', () => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: 5, max: 400, noNaN: true }), { maxLength: 20 }),
      fc.integer({ min: 1, max: 4 }),
      (minutes, nPrinters) => {
        const { entries, tooLong } = shareOut(minutes, { nPrinters, slotMin: 270, slotName: 'evening', changeMin: 5 })
        expect([...entries.map(({ plate }) => plate), ...tooLong].sort((a, b) => a - b)).toEqual([...minutes.keys()])
        for (const a of entries)
          for (const b of entries)
            if (a.plate < b.plate && a.slot === b.slot && a.printer === b.printer)
              expect(a.endMin <= b.startMin || b.endMin <= a.startMin).toBe(true)
      },
    ),
  )
})
