// A figure's own print file is never written: the writer of motion code has one caller, and that one takes coupons.

import { expect, test } from 'vitest'
import { filesIn, isTest, read } from './sources.ts'

const sources = ['src', 'demo', 'scripts']
  .flatMap(filesIn)
  .filter((file) => /\.(tsx?|mjs)$/.test(file) && !isTest(file))
const CALLER = 'src/trials/coupon/write-coupon.ts'
const OWN = ['src/engine/motioncode/write-code.ts', 'src/engine/motioncode/index.ts']

test('the writer of motion code is called by the coupon room alone', () => {
  const callers = sources.filter((file) => /\bwriteCode\b/.test(read(file)) && !OWN.includes(file))
  expect(callers).toEqual([CALLER])
})

test('what writes coupons takes a coupon, and coupons are made from questions, not from meshes', () => {
  expect(read(CALLER)).toMatch(/writeCoupon = async \(coupon: Coupon\b/)
  const makers = sources.filter((file) => /kind: 'coupon',/.test(read(file)))
  expect(makers).toEqual(['src/trials/coupon/make-coupon.ts'])
  const maker = read(makers[0])
  expect(maker).toMatch(/makeCoupon = async \(\s*wish: CouponWish,/)
  expect(maker).not.toMatch(/engine\/figure|engine\/examine|readSculpt/)
})
