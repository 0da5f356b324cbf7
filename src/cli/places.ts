// What every verb needs to know of its surroundings; found once, by the entry file.

/** Folders, version and the stop signal. */
export interface Surroundings {
  readonly version: string
  /** Built worker file. */
  readonly workerPath: string
  /** Built-in figures. */
  readonly crewFolder: string
  /** Built bench. */
  readonly benchFolder: string
  /** Aborted by Ctrl-C. */
  readonly signal: AbortSignal
}
