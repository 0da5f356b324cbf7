// What is going on: the verdict, progress with a stop, troubles as sentences, and a voice for screen readers.

import { useLayoutEffect, useRef } from 'preact/hooks'
import { printedText } from '../../picture/index.ts'
import { stop } from '../examine-run.ts'
import { hasShown, isWhole, type Progress, progress, said, sheet, step, troubles } from '../state.ts'

const Working = ({ now }: { now: Progress }) => {
  const box = useRef<HTMLDivElement>(null)
  // When the work ends, a keyboard that stood on Stop goes on from the verdict.
  useLayoutEffect(
    () => () => {
      if (box.current?.contains(document.activeElement)) document.querySelector<HTMLElement>('.status')?.focus()
    },
    [],
  )
  const percent = Math.round(100 * now.share)
  return (
    <div class="working" ref={box}>
      <progress max={100} value={percent} aria-label="Share of the examination done" />
      <button type="button" onClick={stop}>
        Stop
      </button>
      <span>
        {now.doing} · {percent} %
      </span>
    </div>
  )
}

/** Verdict, progress and troubles. */
export const Status = () => {
  const { summary } = sheet.value
  const now = progress.value
  return (
    <div class="status" tabIndex={-1}>
      {troubles.value.length > 0 && (
        <div class="troubles" role="alert">
          {troubles.value.map((text) => (
            <p key={text}>{text}</p>
          ))}
          <button
            type="button"
            onClick={() => {
              troubles.value = []
            }}
          >
            Understood
          </button>
        </div>
      )}
      {!now && !step.value && (
        <p class="verdict">
          Drop a figure anywhere, or choose one of the crew. Everything is worked out in this browser.
        </p>
      )}
      {summary && <p class="verdict">{printedText(summary.verdict)}</p>}
      {!now && hasShown.value && !isWhole.value && <p class="partial">Stopped: this sheet is partial.</p>}
      {now && <Working now={now} />}
      <p class="unseen" role="status" aria-live="polite">
        {now ? now.doing : said.value}
      </p>
    </div>
  )
}
