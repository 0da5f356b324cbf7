import { expect, test } from 'vitest'
import type { Track } from '../../engine/examine/index.ts'
import { withUnchanged } from './unchanged-tracks.ts'

const track = (id: string, ...values: number[]): Track =>
  ({
    id,
    question: id,
    quantity: '',
    unit: '',
    values: Float64Array.from(values),
    from: 0,
    to: 1,
    decimals: 1,
  }) as Track

test('a track that comes again stays the same object; one with another value or limit does not', () => {
  const before = [track('thin', 1, Number.NaN), track('soft', 2, 3)]
  const [thin, soft, more] = withUnchanged(
    [track('thin', 1, Number.NaN), track('soft', 2, 4), track('more', 5)],
    before,
  )
  expect(thin).toBe(before[0])
  expect(soft).not.toBe(before[1])
  expect(soft.values[1]).toBe(4)
  expect(more.id).toBe('more')
  const limited = { ...track('thin', 1, Number.NaN), limit: { value: 1, bad: 'below', label: 'least' } } as Track
  expect(withUnchanged([limited], before)[0]).toBe(limited)
  expect(withUnchanged([thin], undefined)[0]).toBe(thin)
})
