// The canvas of the lit solid: drawn by a worker, or on the page where a worker cannot; for paper as a picture of its own.

import { useSignal, useSignalEffect } from '@preact/signals'
import { useEffect, useRef } from 'preact/hooks'
import { type BoardFrame, figureWidthPx, frame, paperPlan } from '../board-frame.ts'
import type { SheetParts } from '../messages.ts'
import { LIGHT_INKS } from '../pictures/light-inks.ts'
import { chosen, isPrinting, isWhole, scrubMm, sheet, theme, turn } from '../state.ts'
import { canDrawFar, FarSolid } from './far-solid.ts'
import { painted } from './paint.ts'
import type { SolidLook, SolidView } from './solid-view.ts'

/** The picture for paper is made when nothing has changed for so long, ms; it has so many dots for a px of the board. */
const PAPER_WAIT_MS = 400
const PAPER_DOTS = 3

const inksOf = (element: Element): SolidLook['inks'] => {
  const style = getComputedStyle(element)
  const ink = (name: string) => style.getPropertyValue(name).trim()
  return { lit: ink('--solid-lit'), shade: ink('--solid-shade'), ink: ink('--solid-ink'), accent: ink('--pic-accent') }
}

/** What is drawn in a frame; on paper no height is hatched. */
const lookIn = (f: BoardFrame, inks: SolidLook['inks'], isPaper: boolean): SolidLook => {
  const marked = sheet.value.findings?.find(({ id }) => id === chosen.value)
  return {
    widthPx: figureWidthPx(f),
    plotPx: f.plotPx,
    fromMm: f.fromMm,
    toMm: f.toMm,
    turn: turn.value,
    scrubMm: isPaper ? -9 : scrubMm.value,
    band: marked ? [marked.place.fromMm, marked.place.toMm] : null,
    paint: painted.value?.quantity ?? null,
    inks,
    dotsPerPx: isPaper ? PAPER_DOTS : Math.min(2, devicePixelRatio || 1),
  }
}

/** Notes on the canvas what stands on it. */
const markDrawn = (canvas: HTMLCanvasElement | null, { surface, figure }: SheetParts): void => {
  if (!canvas || !surface) return
  canvas.dataset.drawn = 'yes'
  canvas.dataset.triangles = String(surface.triangles.length / 3)
  canvas.dataset.figure = figure?.name ?? ''
}

const placeIn = (f: BoardFrame) => ({
  left: `${f.rulePx}px`,
  top: `${f.topPx}px`,
  width: `${figureWidthPx(f)}px`,
  height: `${f.plotPx}px`,
})

/** Counts up when the colours of the system change. */
const useScheme = () => {
  const scheme = useSignal(0)
  useEffect(() => {
    const query = matchMedia('(prefers-color-scheme: dark)')
    const changed = () => {
      scheme.value++
    }
    query.addEventListener('change', changed)
    return () => query.removeEventListener('change', changed)
  }, [])
  return scheme
}

const LABEL = 'The figure in elevation, to scale'

const Far = ({ onFail }: { onFail: () => void }) => {
  const canvas = useRef<HTMLCanvasElement>(null)
  const view = useSignal<FarSolid | null>(null)
  const paper = useSignal<string | null>(null)
  const shown = useRef<readonly [SheetParts['surface'], SolidLook['paint']]>([undefined, null])
  const scheme = useScheme()
  useEffect(() => {
    if (canvas.current) view.value = new FarSolid(canvas.current, onFail)
    return () => view.value?.dispose()
  }, [])
  useSignalEffect(() => {
    const parts = sheet.value
    const f = frame.value
    void [theme.value, scheme.value]
    // Paper has a picture of its own: the canvas stays as it is.
    if (isPrinting.value || !view.value || !parts.surface || !canvas.current) return
    // Until the worker has drawn it, the canvas holds the figure before.
    const look = lookIn(f, inksOf(canvas.current), false)
    const [surface, paint] = shown.current
    if (parts.surface !== surface || look.paint !== paint) canvas.current.dataset.drawn = 'no'
    shown.current = [parts.surface, look.paint]
    view.value.show(parts.surface)
    view.value.draw(look, () => markDrawn(canvas.current, parts))
  })
  useSignalEffect(() => {
    const { surface } = sheet.value
    const look = lookIn(paperPlan.value, LIGHT_INKS, true)
    if (!view.value || !surface || !isWhole.value) return
    const far = view.value
    let isOld = false
    const waiting = setTimeout(async () => {
      const picture = await far.picture(look)
      if (picture && !isOld) paper.value = URL.createObjectURL(picture)
    }, PAPER_WAIT_MS)
    // Paper never holds what is no longer shown: until the next picture is made it takes the canvas.
    return () => {
      isOld = true
      clearTimeout(waiting)
      if (paper.value) URL.revokeObjectURL(paper.value)
      paper.value = null
    }
  })
  const f = frame.value
  return (
    <>
      <canvas
        ref={canvas}
        class={paper.value ? 'solid has-paper' : 'solid'}
        role="img"
        aria-label={LABEL}
        style={placeIn(f)}
      />
      {paper.value && <img class="solid on-paper" src={paper.value} alt="" style={placeIn(f)} />}
    </>
  )
}

const Near = ({ onFail }: { onFail: () => void }) => {
  const canvas = useRef<HTMLCanvasElement>(null)
  const view = useSignal<SolidView | null>(null)
  const scheme = useScheme()
  useEffect(() => {
    let gone = false
    import('./solid-view.ts')
      .then(({ SolidView }) => {
        if (!gone && canvas.current) view.value = new SolidView(canvas.current)
      })
      .catch(onFail)
    return () => {
      gone = true
      view.value?.dispose()
    }
  }, [])
  useSignalEffect(() => {
    const parts = sheet.value
    const f = frame.value
    void [theme.value, scheme.value]
    if (!view.value || !parts.surface || !canvas.current) return
    view.value.show(parts.surface)
    view.value.draw(lookIn(f, inksOf(canvas.current), isPrinting.value))
    markDrawn(canvas.current, parts)
  })
  return <canvas ref={canvas} class="solid" role="img" aria-label={LABEL} style={placeIn(frame.value)} />
}

/** The lit solid. @param onFail there is no WebGL, neither in a worker nor on the page */
export const Solid = ({ onFail }: { onFail: () => void }) => {
  const isFar = useSignal(canDrawFar())
  const stay = () => {
    isFar.value = false
  }
  return isFar.value ? <Far key="far" onFail={stay} /> : <Near key="near" onFail={onFail} />
}
