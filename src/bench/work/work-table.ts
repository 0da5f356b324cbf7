// Every kind of work that the bench can order from its worker, one line each; loaded in the worker when first ordered.

/** Name of the work, and where its code is: a file whose default export is a BenchWork. */
export const WORK = {
  examine: () => import('./examine-worker.ts'),
  wholeField: () => import('../strength/strength-worker.ts'),
  falls: () => import('../falls/falls-worker.ts'),
  trials: () => import('../trials/trials-worker.ts'),
  readPrintFile: () => import('../code/print-file-worker.ts'),
  soft: () => import('../soft/soft-worker.ts'),
  stances: () => import('../stances/stances-worker.ts'),
  tray: () => import('../tray/tray-worker.ts'),
  advise: () => import('../advise/advise-worker.ts'),
}

type WorkTable = typeof WORK

/** Names of the work that can be ordered. */
export type WorkName = keyof WorkTable
type WorkOf<N extends WorkName> = Awaited<ReturnType<WorkTable[N]>>['default']
/** What a kind of work takes and what it answers. */
export type InputOf<N extends WorkName> = Parameters<WorkOf<N>>[0]
export type AnswerOf<N extends WorkName> = Awaited<ReturnType<WorkOf<N>>>
