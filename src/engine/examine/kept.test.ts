import { expect, test } from 'vitest'
import { Kept } from './kept.ts'

const array = (bytes: number): Uint8Array => new Uint8Array(bytes)

test('beyond the count of a room its own oldest result goes, those of other rooms stay', async () => {
  const kept = new Kept({ most: 1, mostOf: { beads: 2 } })
  for (const key of ['a', 'b', 'c']) await kept.get('beads', key, () => key)
  await kept.get('print', 'a', () => 'a')
  await kept.get('print', 'b', () => 'b')
  await kept.get('beads', 'b', () => 'new')
  await kept.get('beads', 'c', () => 'new')
  expect(kept.hits.get('beads')).toBe(2)
  await kept.get('beads', 'a', () => 'new')
  await kept.get('print', 'a', () => 'new')
  expect(kept.misses.get('beads')).toBe(4)
  expect(kept.misses.get('print')).toBe(3)
})

test('beyond the bytes the result goes that was used longest ago, and the newest stays whatever its size', async () => {
  const kept = new Kept({ most: 10, mostBytes: 100 })
  await kept.get('a', '1', () => ({ grid: array(40) }))
  await kept.get('b', '1', () => [{ grid: array(40) }])
  await kept.get('a', '1', () => null)
  expect(kept.bytes).toBe(80)
  await kept.get('c', '1', () => array(30))
  expect(kept.bytes).toBe(70)
  await kept.get('a', '1', () => null)
  expect(kept.misses.get('a')).toBe(1)
  await kept.get('c', '2', () => array(500))
  expect(kept.bytes).toBe(500)
  await kept.get('c', '2', () => null)
  expect(kept.misses.get('c')).toBe(2)
})

test('an array that two results share counts once, until both are gone', async () => {
  const kept = new Kept({ most: 1, mostBytes: 1000 })
  const shared = array(60)
  await kept.get('beads', '1', () => ({ points: shared }))
  await kept.get('print', '1', () => ({ plan: { points: shared, speed: array(10) } }))
  expect(kept.bytes).toBe(70)
  await kept.get('beads', '2', () => array(5))
  expect(kept.bytes).toBe(75)
  kept.clear()
  expect(kept.bytes).toBe(0)
})
