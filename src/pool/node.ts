// The pool for Node: worker threads, and the polygon library that they load.

import { availableParallelism } from 'node:os'
import type { WorkPool } from './types.ts'
import { workPool } from './work-pool.ts'

export { loadPolygonKit } from './polygon-kit-node.ts'
export { startWasm } from './start-wasm.ts'

/** Threads that run the built worker file. Memory of a worker follows its work, so there are never more than the machine has cores. */
export const nodePool = (scriptPath: string, nWorkers = 1): WorkPool =>
  workPool(scriptPath, { workerType: 'thread', maxWorkers: Math.max(1, Math.min(nWorkers, availableParallelism())) })
