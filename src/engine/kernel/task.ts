// Long work: how it reports progress and how it is cancelled. No clock here: time belongs to the caller.

/** Passed as last argument to every long function. */
export interface Task {
  /** Set by the caller to stop the work; checked between steps. */
  readonly signal?: AbortSignal
  /** Called with the share done, 0-1, and a short phrase for what is being done. */
  readonly onProgress?: (share: number, doing: string) => void
  /** Handed in by a worker so that its messages (a stop among them) are heard during long work; awaited now and then. */
  readonly breathe?: () => Promise<void>
}

/** Thrown when the caller's signal stops the work: the one thrown type besides programmer faults. */
export class Cancelled extends Error {
  constructor() {
    super('The work was stopped.')
    this.name = 'Cancelled'
  }
}

/** Throws Cancelled when the task has been stopped. */
export const stopIfCancelled = (task?: Task): void => {
  if (task?.signal?.aborted) throw new Cancelled()
}

/** Lets the caller's messages through, then throws Cancelled when the task has been stopped. Call it every few milliseconds of work. */
export const breathe = async (task?: Task): Promise<void> => {
  if (task?.breathe) await task.breathe()
  stopIfCancelled(task)
}

/** A task that reports its progress within the part [from, to] of another one. */
export const partOf = (task: Task | undefined, from: number, to: number): Task | undefined => {
  if (!task) return undefined
  const onProgress = task.onProgress
  if (!onProgress) return task
  return { ...task, onProgress: (share, doing) => onProgress(from + (to - from) * share, doing) }
}
