// Progress of a piece of work with its stop, and what went wrong; pages put it where they started the work.

import type { Progress } from '../state.ts'

export const WorkingLine = ({
  progress,
  trouble = '',
  onStop,
}: {
  progress: Progress | null
  trouble?: string
  onStop: () => void
}) => {
  if (!progress) return trouble ? <p role="alert">{trouble}</p> : null
  const percent = Math.round(100 * progress.share)
  return (
    <div class="working">
      <progress max={100} value={percent} aria-label="Share of the work done" />
      <button type="button" onClick={onStop}>
        Stop
      </button>
      <span>
        {progress.doing} · {percent} %
      </span>
    </div>
  )
}
