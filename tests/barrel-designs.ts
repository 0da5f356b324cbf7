// Printed lattices that were crushed: designs by four settings, three repeats each; and how many tests it takes to find a tough one.

import { fitResponse, mostPromising } from '../src/trials/index.ts'
import { seededRandom } from './seeded-random.ts'

export interface BarrelDesign {
  /** Number of struts, twist, radius, wall. */
  readonly at: readonly number[]
  readonly toughness: readonly number[]
  readonly mean: number
}

/** Designs from the table n, theta, r, t, toughness. */
export const readBarrels = (text: string): BarrelDesign[] => {
  const byDesign = new Map<string, number[]>()
  for (const line of text.trim().split('\n').slice(1)) {
    const cells = line.split(',')
    const key = cells.slice(0, 4).join(',')
    byDesign.set(key, [...(byDesign.get(key) ?? []), Number(cells[4])])
  }
  return [...byDesign].map(([key, toughness]) => ({
    at: key.split(',').map(Number),
    toughness,
    mean: toughness.reduce((a, b) => a + b, 0) / toughness.length,
  }))
}

/** Mean of the tests that random choice without return needs to hit one of `wanted` among n. */
export const randomTests = (n: number, wanted: number): number => (n + 1) / (wanted + 1)

/** Tests until one of the best `wanted` designs has been crushed: two at random, then the most promising one, each test one repeat. */
export const testsNeeded = (designs: readonly BarrelDesign[], wanted: number, seed: number, most: number): number => {
  const random = seededRandom(seed)
  const best = new Set(
    designs
      .map((design, i) => [design.mean, i] as const)
      .sort((a, b) => b[0] - a[0])
      .slice(0, wanted)
      .map(([, i]) => i),
  )
  const ranges = [0, 1, 2, 3].map((k) => {
    const values = designs.map(({ at }) => at[k])
    return [Math.min(...values), Math.max(...values)] as const
  })
  const tested = new Set<number>()
  const measured: { at: readonly number[]; value: number }[] = []
  for (let n = 1; n <= most; n++) {
    const open = designs.map((_, i) => i).filter((i) => !tested.has(i))
    const next =
      n <= 2
        ? open[Math.floor(random() * open.length)]
        : open[
            mostPromising(
              fitResponse(measured, { ranges, scatterShare: 0.15 }),
              open.map((i) => designs[i].at),
            ).place
          ]
    tested.add(next)
    if (best.has(next)) return n
    const { at, toughness } = designs[next]
    measured.push({ at, value: toughness[Math.floor(random() * toughness.length)] })
  }
  return most
}
