// What is wrong with the layout of a page as it stands: sideways scroll, text cut off, text over text, pale text, small text, small targets.

import type { Page } from 'playwright-core'

/** Least size of text, px, in words and in drawings; least side of what is pressed, px; least contrast of text. */
export const LEAST = Object.freeze({ textPx: 11, drawnPx: 9, targetPx: 24, contrast: 4.5 })

/** Faults of the layout in words: kind, selector, text, measure. */
export const layoutFaults = (page: Page): Promise<string[]> => page.evaluate(findFaults, LEAST)

/** Runs in the page; everything it needs is inside it. */
const findFaults = (least: typeof LEAST): string[] => {
  interface Piece {
    readonly element: Element
    readonly text: string
    /** All of it, and what its clipping ancestors leave of it. */
    readonly whole: DOMRect
    readonly left: number
    readonly top: number
    readonly right: number
    readonly bottom: number
  }
  const faults: string[] = []
  const wide = document.documentElement.clientWidth

  const selectorOf = (element: Element): string => {
    const parts: string[] = []
    for (let e: Element | null = element; e && e !== document.body && parts.length < 4; e = e.parentElement) {
      const classes = [...e.classList].slice(0, 2).map((name) => `.${name}`)
      parts.unshift(`${e.tagName.toLowerCase()}${e.id ? `#${e.id}` : classes.join('')}`)
      if (e.id) break
    }
    return parts.join(' > ')
  }
  const told = (kind: string, element: Element, text: string, measure: string): void => {
    faults.push(`${kind}: ${selectorOf(element)} "${text.slice(0, 50)}" ${measure}`)
  }

  /** True for what nobody sees: for screen readers only, folded away, or put outside until it has the focus. */
  const isUnseen = (element: Element): boolean => {
    if (!element.checkVisibility({ opacityProperty: true, visibilityProperty: true })) return true
    // Under an open dialog the page is inert, and nobody reads it.
    const dialog = document.querySelector('dialog:modal')
    if (dialog && !dialog.contains(element)) return true
    return element.closest('.unseen, .skip, option, title, desc, defs, [hidden]') !== null
  }

  /** The part of a box that ancestors show; how far it is cut off by those that do not scroll. */
  const shownPart = (element: Element, box: DOMRect) => {
    let [left, top, right, bottom] = [box.left, box.top, box.right, box.bottom]
    let cut = 0
    let scrolls = false
    for (let e: Element | null = element; e && e !== document.documentElement; e = e.parentElement) {
      const style = getComputedStyle(e)
      const isSvg = e instanceof SVGSVGElement
      if (style.display === 'inline' && !isSvg) continue
      const [x, y] = [style.overflowX, style.overflowY]
      if (x === 'visible' && y === 'visible') continue
      const b = e.getBoundingClientRect()
      if (x !== 'visible') {
        if (x === 'auto' || x === 'scroll') scrolls = true
        else if (!scrolls) cut = Math.max(cut, b.left - left, right - b.right)
        left = Math.max(left, b.left)
        right = Math.min(right, b.right)
      }
      if (y !== 'visible') {
        if (y === 'auto' || y === 'scroll') scrolls = true
        else if (!scrolls) cut = Math.max(cut, b.top - top, bottom - b.bottom)
        top = Math.max(top, b.top)
        bottom = Math.min(bottom, b.bottom)
      }
    }
    return { left, top, right, bottom, cut, scrolls }
  }

  type Ink = readonly [number, number, number, number]
  const canvas = document.createElement('canvas').getContext('2d', { willReadFrequently: true })!
  const inkOf = (colour: string): Ink => {
    canvas.clearRect(0, 0, 1, 1)
    canvas.fillStyle = colour
    canvas.fillRect(0, 0, 1, 1)
    const [r, g, b, a] = canvas.getImageData(0, 0, 1, 1).data
    return [r, g, b, a / 255]
  }
  const over = ([r, g, b, a]: Ink, under: Ink): Ink => [
    a * r + (1 - a) * under[0],
    a * g + (1 - a) * under[1],
    a * b + (1 - a) * under[2],
    1,
  ]
  const light = ([r, g, b]: Ink): number => {
    const [x, y, z] = [r, g, b].map((v) => (v <= 10.31475 ? v / 3294.6 : ((v / 255 + 0.055) / 1.055) ** 2.4))
    return 0.2126 * x + 0.7152 * y + 0.0722 * z
  }
  const contrast = (a: Ink, b: Ink): number => {
    const [x, y] = [light(a), light(b)]
    return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05)
  }
  const groundOf = (element: Element): Ink => {
    const layers: Ink[] = []
    for (let e: Element | null = element; e; e = e.parentElement) {
      const ink = inkOf(getComputedStyle(e).backgroundColor)
      if (ink[3] > 0) layers.push(ink)
      if (ink[3] >= 1) break
    }
    return layers.reduceRight<Ink>((under, ink) => over(ink, under), [255, 255, 255, 1])
  }
  const paper = inkOf(getComputedStyle(document.documentElement).getPropertyValue('--pic-paper').trim())

  // Sideways scroll of the page itself.
  const { scrollWidth } = document.documentElement
  if (scrollWidth > wide) {
    const far = [...document.querySelectorAll('body *')]
      .filter((e) => !isUnseen(e) && !shownPart(e, e.getBoundingClientRect()).scrolls)
      .sort((a, b) => b.getBoundingClientRect().right - a.getBoundingClientRect().right)[0]
    told('sideways', far ?? document.body, '', `${scrollWidth} px in a window of ${wide}`)
  }

  // Every line of every text.
  const pieces: Piece[] = []
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  const range = document.createRange()
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const text = node.textContent?.trim() ?? ''
    const element = node.parentElement
    if (!text || !element || isUnseen(element)) continue
    const style = getComputedStyle(element)
    const svg = element.closest('svg')
    const inSvg = svg !== null
    range.selectNodeContents(node)
    const boxes = inSvg ? [element.getBoundingClientRect()] : [...range.getClientRects()]
    let isShown = false
    for (const whole of boxes) {
      if (whole.width < 1 || whole.height < 1) continue
      const { left, top, right, bottom, cut, scrolls } = shownPart(element, whole)
      if (cut > 1.5) told('cut off', element, text, `by ${cut.toFixed(1)} px`)
      if (right - left < 1 || bottom - top < 1) continue
      isShown = true
      if (!scrolls && (left < -1 || right > wide + 1))
        told('outside', element, text, `${left.toFixed(0)} to ${right.toFixed(0)} of ${wide} px`)
      pieces.push({ element, text, whole, left, top, right, bottom })
    }
    if (!isShown) continue
    const scale = inSvg ? Math.abs((element as unknown as SVGGraphicsElement).getScreenCTM?.()?.a ?? 1) : 1
    const size = Number.parseFloat(style.fontSize) * scale
    if (size < (inSvg ? least.drawnPx : least.textPx) - 0.01) told('small text', element, text, `${size.toFixed(1)} px`)
    const ink = inkOf(inSvg ? style.fill : style.color)
    const ground = inSvg && svg.parentElement ? groundOf(svg.parentElement) : groundOf(element)
    const seen = contrast(over(ink, ground), ground)
    // Paper on ink is the number in a filled flag.
    const isOnFlag = inSvg && contrast(ink, paper) < 1.05
    if (seen < least.contrast && !isOnFlag) told('pale', element, text, `contrast ${seen.toFixed(2)}`)
  }

  /** The opaque ancestor that sticks to an edge, if there is one. */
  const stickyOf = (element: Element): Element | null => {
    for (let e: Element | null = element; e; e = e.parentElement)
      if (getComputedStyle(e).position === 'sticky' && inkOf(getComputedStyle(e).backgroundColor)[3] === 1) return e
    return null
  }

  // Text over text: boxes of lines reach beyond their letters, so a fifth of the height is let off above and below.
  const sorted = pieces.sort((a, b) => a.top - b.top)
  for (let i = 0; i < sorted.length; i++) {
    const a = sorted[i]
    const [aTop, aBottom] = [a.top + (a.bottom - a.top) * 0.2, a.bottom - (a.bottom - a.top) * 0.2]
    for (let j = i + 1; j < sorted.length && sorted[j].top < aBottom; j++) {
      const b = sorted[j]
      // The handle of the scrubbed height is opaque and stands over the rule's own number: it tells that height instead.
      if (a.element.closest('.scrub-handle') || b.element.closest('.scrub-handle')) continue
      // So is what sticks to the edge while the rest scrolls under it.
      if (stickyOf(a.element) !== stickyOf(b.element)) continue
      if (a.element === b.element || a.element.contains(b.element) || b.element.contains(a.element)) continue
      const [bTop, bBottom] = [b.top + (b.bottom - b.top) * 0.2, b.bottom - (b.bottom - b.top) * 0.2]
      const across = Math.min(a.right, b.right) - Math.max(a.left, b.left)
      const down = Math.min(aBottom, bBottom) - Math.max(aTop, bTop)
      if (across > 1.5 && down > 1.5)
        told(
          'overlap',
          a.element,
          a.text,
          `and ${selectorOf(b.element)} "${b.text.slice(0, 50)}" by ${across.toFixed(0)} x ${down.toFixed(0)} px`,
        )
    }
  }

  // Words in fields that are wider than the field.
  for (const field of document.querySelectorAll<HTMLInputElement | HTMLSelectElement>('select, input')) {
    if (isUnseen(field)) continue
    const style = getComputedStyle(field)
    const words =
      field instanceof HTMLSelectElement ? (field.selectedOptions[0]?.text ?? '') : field.value || field.placeholder
    if (!words || ['checkbox', 'radio', 'file', 'range', 'date'].includes(field.type)) continue
    canvas.font = `${style.fontStyle} ${style.fontWeight} ${style.fontSize} ${style.fontFamily}`
    const arrow = field instanceof HTMLSelectElement ? 16 : field.type === 'number' ? 0 : 0
    const room =
      field.clientWidth - Number.parseFloat(style.paddingLeft) - Number.parseFloat(style.paddingRight) - arrow
    const needs = canvas.measureText(words).width
    if (needs > room + 2) told('cut off', field, words, `needs ${needs.toFixed(0)} px of ${room.toFixed(0)}`)
    if (Number.parseFloat(style.fontSize) < least.textPx) told('small text', field, words, style.fontSize)
  }

  // What is pressed.
  for (const target of document.querySelectorAll<HTMLElement>(
    'button, a[href], select, input, textarea, summary, [role=button], [role=slider]',
  )) {
    if (isUnseen(target)) continue
    const label = (target as HTMLInputElement).labels?.[0]
    const box = target.getBoundingClientRect()
    const own = target.matches('[type=checkbox], [type=radio]') && label ? label.getBoundingClientRect() : box
    if (own.width < 1 || own.height < 1) continue
    // A link within a sentence is as high as its line.
    if (
      target instanceof HTMLAnchorElement &&
      getComputedStyle(target).display === 'inline' &&
      (target.parentElement?.textContent?.trim().length ?? 0) > (target.textContent?.trim().length ?? 0) + 3
    )
      continue
    if (own.width < least.targetPx - 0.5 || own.height < least.targetPx - 0.5)
      told(
        'small target',
        target,
        target.textContent?.trim() || target.getAttribute('aria-label') || label?.textContent || '',
        `${own.width.toFixed(0)} x ${own.height.toFixed(0)} px`,
      )
  }
  return [...new Set(faults)]
}
