import { createHash } from 'node:crypto'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { sha256 } from './sha256.ts'

test('the examples of the standard', () => {
  const of = (text: string) => sha256(new TextEncoder().encode(text))
  expect(of('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad')
  expect(of('')).toBe('e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855')
  expect(of('abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq')).toBe(
    '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
  )
  expect(of('a'.repeat(1_000_000))).toBe('cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0')
})

test('agrees with the hash of Node on any bytes', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
      expect(sha256(bytes)).toBe(createHash('sha256').update(bytes).digest('hex'))
    }),
  )
})
