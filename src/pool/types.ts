// Messages between a program and its workers, and the one interface that both kinds of pool have.

/** What a caller may hand along with a piece of work. */
export interface Job {
  /** Stops the work; the promise then rejects with Cancelled. */
  readonly signal?: AbortSignal
  /** Share done, 0-1, and a short phrase. */
  readonly onProgress?: (share: number, doing: string) => void
  /** Partial results as they come; their shape belongs to the method. */
  readonly onPartial?: (part: unknown) => void
  /** Buffers to move instead of copying; they are empty for the caller afterwards. */
  readonly transfer?: ArrayBuffer[]
}

/** Workers that run named methods. */
export interface WorkPool {
  /**
   * Runs one method of a worker on a structured-cloneable input.
   * @throws Cancelled when the signal stops it; Error with the worker's message for a fault in the worker
   */
  run<T>(method: string, input: unknown, job?: Job): Promise<T>
  /** Ends all workers: at once with `now`, otherwise after the work in hand. */
  close(now?: boolean): Promise<void>
}

/** What a worker sends while it works. */
export type WorkMessage =
  | { readonly kind: 'progress'; readonly share: number; readonly doing: string }
  | { readonly kind: 'partial'; readonly part: unknown }
