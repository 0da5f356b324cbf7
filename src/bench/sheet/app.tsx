// The whole sheet: head, verdict, figure with log, section, findings, foot.

import { useEffect, useRef } from 'preact/hooks'
import { boardPx, frame, heightAt, placeOf, textScale, windowPx } from '../board-frame.ts'
import { Elevation } from '../elevation/elevation.tsx'
import { Findings } from '../findings/findings.tsx'
import { Log } from '../log/log.tsx'
import { PageFrame } from '../pages/page-frame.tsx'
import { pageId } from '../pages/page-place.ts'
import { PAGES } from '../pages/page-table.ts'
import { Section } from '../section/section.tsx'
import { glanceAt, hasShown, isDragging, isPrinting, scrubMm, scrubTo, stepAt } from '../state.ts'
import { comingUp, held } from '../whatif/held.ts'
import { Dialogs } from './dialogs.tsx'
import { Assumed, Foot } from './foot.tsx'
import { Head } from './head.tsx'
import { late } from './late.tsx'
import { Status } from './status.tsx'

const WhatIf = late(() => import('../whatif/whatif-panel.tsx'))
const SinceStep = late(() => import('../whatif/since-step.tsx'))

const ScrubLine = () => (
  <div class="scrub-line" aria-hidden="true" style={{ top: `${placeOf(frame.value, scrubMm.value)}px` }} />
)

/** Farther than this, px, a press is a drag and no click. */
const CLICK_PX = 4

/** Figure and log on one height axis; the pointer looks at a height while it moves over it, a click keeps that height. */
const Board = () => {
  const board = useRef<HTMLDivElement>(null)
  useEffect(() => {
    const measure = () => {
      if (isPrinting.value || !board.current?.parentElement) return
      boardPx.value = Math.floor(board.current.parentElement.clientWidth)
      windowPx.value = innerHeight
      textScale.value = Number.parseFloat(getComputedStyle(document.documentElement).fontSize) / 16 || 1
    }
    measure()
    const observer = new ResizeObserver(measure)
    if (board.current?.parentElement) observer.observe(board.current.parentElement)
    addEventListener('resize', measure)
    return () => {
      observer.disconnect()
      removeEventListener('resize', measure)
    }
  }, [])
  const isOnPlot = (event: PointerEvent): boolean => {
    const { topPx, plotPx } = frame.value
    const y = event.clientY - (board.current?.getBoundingClientRect().top ?? 0)
    return y > topPx && y < topPx + plotPx
  }
  const heightOf = (event: PointerEvent): number | null =>
    board.current && hasShown.value
      ? heightAt(frame.value, event.clientY - board.current.getBoundingClientRect().top)
      : null
  const scrub = (event: PointerEvent) => {
    const mm = heightOf(event)
    if (mm !== null) scrubTo(mm)
  }
  const press = useRef<{ x: number; y: number } | null>(null)
  const isPlain = ({ target }: PointerEvent): boolean =>
    target instanceof Element && !target.closest('.flag, .scrub-handle, button, select, input, a, .dial')
  return (
    <div
      class="board"
      data-board
      ref={board}
      onPointerMove={(event) => {
        if (event.pointerType === 'mouse') glanceAt(isOnPlot(event) && event.buttons === 0 ? heightOf(event) : null)
      }}
      onPointerLeave={() => glanceAt(null)}
      onPointerUp={(event) => {
        const from = press.current
        press.current = null
        if (event.pointerType !== 'mouse' || !from || !isOnPlot(event)) return
        if (Math.hypot(event.clientX - from.x, event.clientY - from.y) <= CLICK_PX) scrub(event)
      }}
      onPointerDown={(event) => {
        if (event.pointerType === 'mouse' && event.button === 0 && isOnPlot(event) && isPlain(event))
          press.current = { x: event.clientX, y: event.clientY }
        if (
          event.pointerType !== 'mouse' &&
          isOnPlot(event) &&
          event.target instanceof Element &&
          event.target.closest('.log')
        )
          scrub(event)
      }}
    >
      <Elevation onScrub={scrub} />
      <Log />
      {hasShown.value && !isPrinting.value && <ScrubLine />}
    </div>
  )
}

/** Figure, log and section; its height is told to the style sheet, which keeps it in sight beside a long list of findings. */
const Drawing = () => {
  const drawing = useRef<HTMLDivElement>(null)
  useEffect(() => {
    const element = drawing.current
    if (!element) return
    const observer = new ResizeObserver(() => element.style.setProperty('--drawing-px', `${element.offsetHeight}px`))
    observer.observe(element)
    return () => observer.disconnect()
  }, [])
  return (
    <div class="drawing" ref={drawing}>
      <Board />
      <Section />
      <Assumed />
    </div>
  )
}

/** Goes where the link leads without touching the address, which says what is shown. */
const skip = (event: MouseEvent): void => {
  if (!(event.currentTarget instanceof HTMLAnchorElement)) return
  event.preventDefault()
  const target = document.querySelector<HTMLElement>(event.currentTarget.hash)
  target?.scrollIntoView()
  target?.focus()
}

export const App = () => {
  const page = PAGES.find(({ id }) => id === pageId.value)
  return (
    <>
      <a class="skip" href={page ? '#beside-title' : '#findings-title'} onClick={skip}>
        {page ? 'To the page' : 'To the findings'}
      </a>
      <div class={hasShown.value ? 'paper' : 'paper empty'}>
        <Head />
        <main>
          <Status />
          {page ? (
            <PageFrame key={page.id} page={page} />
          ) : (
            <>
              {(held.value || comingUp.value) && <WhatIf />}
              {stepAt.value > 0 && <SinceStep />}
              <div class="columns">
                <Drawing />
                <Findings />
              </div>
            </>
          )}
        </main>
        <Foot />
      </div>
      {isDragging.value && (
        <div class="dropping" aria-hidden="true">
          <p>Let go: the figure is examined here, nothing is uploaded.</p>
        </div>
      )}
      <Dialogs />
    </>
  )
}
