// Solutions of sparse systems against the product they must give back.

import { describe, expect, test } from 'vitest'
import { seededRandom } from '../../../tests/seeded-random.ts'
import { blockEnvelope, narrowOrder } from './envelope.ts'

/** A ring with a tail, as blocks. */
const ringGraph = (n: number) => {
  const list: number[] = []
  const start = [0]
  for (let i = 0; i < n; i++) {
    const near = i < n - 4 ? [(i + 1) % (n - 4), (i + n - 5) % (n - 4)] : []
    if (i === 0) near.push(n - 4)
    if (i === n - 4) near.push(0)
    if (i >= n - 4) near.push(...[i - 1, i + 1].filter((k) => k >= n - 4 && k < n))
    list.push(...near)
    start.push(list.length)
  }
  return { start: Uint32Array.from(start), list: Uint32Array.from(list) }
}

describe('envelope', () => {
  test('order is a permutation with a narrow envelope', () => {
    const graph = ringGraph(44)
    const position = narrowOrder(graph)
    expect([...position].sort((a, b) => a - b)).toEqual(Array.from({ length: 44 }, (_, i) => i))
    const envelope = blockEnvelope(graph, position, 1)
    expect(envelope.values.length).toBeLessThan(44 * 5)
  })

  test('solves what it was made of', () => {
    const random = seededRandom(7)
    const graph = ringGraph(30)
    const position = narrowOrder(graph)
    const matrix = blockEnvelope(graph, position, 2)
    const n = 60
    const full = new Float64Array(n * n)
    const add = (i: number, j: number, v: number): void => {
      matrix.add(i, j, v)
      full[i * n + j] += v
      if (i !== j) full[j * n + i] += v
    }
    for (let b = 0; b < 30; b++)
      for (let k = graph.start[b]; k < graph.start[b + 1]; k++) {
        const [i, j] = [2 * position[b], 2 * position[graph.list[k]]]
        if (j > i) continue
        for (let r = 0; r < 2; r++) for (let c = 0; c < 2; c++) add(i + r, j + c, random() - 0.5)
      }
    for (let i = 0; i < n; i++) add(i, i, 6)
    const x = Float64Array.from({ length: n }, () => random() - 0.5)
    const b = x.map((_, i) => x.reduce((s, v, j) => s + full[i * n + j] * v, 0))
    expect(matrix.factor()).toBe(0)
    matrix.solve(b)
    for (let i = 0; i < n; i++) expect(b[i]).toBeCloseTo(x[i], 12)
  })

  test('a free direction is set aside, not divided by', () => {
    const matrix = blockEnvelope(
      { start: Uint32Array.of(0, 1, 2), list: Uint32Array.of(1, 0) },
      Uint32Array.of(0, 1),
      1,
    )
    matrix.add(0, 0, 1)
    matrix.add(1, 0, -1)
    matrix.add(1, 1, 1)
    expect(matrix.factor()).toBe(1)
    const x = Float64Array.of(2, 0)
    matrix.solve(x)
    expect(x.every(Number.isFinite)).toBe(true)
  })
})
