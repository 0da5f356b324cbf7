// Worker of the pool's test: methods that add, fail, breathe for ever and hold for ever.

import { breathe } from '../src/engine/kernel/index.ts'
import { serveMethods } from '../src/pool/index.ts'

let nCalls = 0

serveMethods({
  sum: async (values: Float64Array, task, sendPartial) => {
    let sum = 0
    for (let i = 0; i < values.length; i++) {
      sum += values[i]
      sendPartial(sum)
      task.onProgress?.((i + 1) / values.length, 'adding')
    }
    return sum
  },
  fault: async (message: string) => {
    throw new Error(message)
  },
  count: async () => ++nCalls,
  breatheForever: async (_input: null, task) => {
    task.onProgress?.(0, 'breathing')
    for (;;) await breathe(task)
  },
  holdForever: async (_input: null, task) => {
    task.onProgress?.(0, 'holding')
    for (;;) Math.random()
  },
})
