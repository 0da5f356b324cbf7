// Workers: one interface, adapters in node.ts and browser.ts. Knows nothing of what the workers compute.
export * from './types.ts'
export { workPool } from './work-pool.ts'
export { serveMethods, type WorkerMethod } from './worker-side.ts'
