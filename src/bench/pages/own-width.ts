// How wide a picture may be drawn: the room its place has, in sizes of usual text, so that words in it stay readable on narrow pages.

import { type Signal, useSignal } from '@preact/signals'
import type { RefObject } from 'preact'
import { useLayoutEffect, useRef } from 'preact/hooks'

/** @param mostPx widest it is drawn, px of usual text */
export const useOwnWidth = (mostPx: number): { place: RefObject<HTMLDivElement | null>; widthPx: Signal<number> } => {
  const place = useRef<HTMLDivElement>(null)
  const widthPx = useSignal(mostPx)
  useLayoutEffect(() => {
    const element = place.current
    if (!element) return
    const measure = () => {
      const scale = Number.parseFloat(getComputedStyle(document.documentElement).fontSize) / 16 || 1
      const room = element.clientWidth / scale
      if (room > 0) widthPx.value = Math.round(Math.min(mostPx, Math.max(240, room)))
    }
    measure()
    const observer = new ResizeObserver(measure)
    observer.observe(element)
    return () => observer.disconnect()
  }, [])
  return { place, widthPx }
}
