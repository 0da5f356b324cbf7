// The pool for browsers: module workers from a built script's address.

import type { WorkPool } from './types.ts'
import { workPool } from './work-pool.ts'

/** Workers that run the script at an address of the same origin. One is enough for a sheet: it keeps what it has worked out. */
export const browserPool = (scriptUrl: string, nWorkers = 1): WorkPool =>
  workPool(scriptUrl, { workerType: 'web', maxWorkers: nWorkers, workerOpts: { type: 'module' } })
