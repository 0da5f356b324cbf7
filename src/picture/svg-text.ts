// Writing SVG as text: the inks all pictures share, escaping, and numbers cut to what can be seen.

/** Inks. A page may set the custom properties (light, dark, print); alone, a picture falls back to the light ones. */
export const INK = 'var(--pic-ink, #1c2327)'
export const PAPER = 'var(--pic-paper, #fdfcf8)'
export const FAINT = 'var(--pic-faint, #5f686d)'
export const RULE = 'var(--pic-rule, #d8d4c8)'
export const ACCENT = 'var(--pic-accent, #00626b)'
export const WASH = 'var(--pic-wash, #dbe9e9)'
export const FONT = 'var(--pic-font, "Gill Sans", "Gill Sans MT", Candara, "Open Sans", "Noto Sans", sans-serif)'

/** Makes text safe inside an element or a quoted attribute. */
export const escapeText = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;')

/** A coordinate with at most two decimals. */
export const px = (value: number): string => {
  const text = value.toFixed(2)
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text
}

/** Words in lines of so many letters at most. */
export const inLines = (text: string, letters: number): string[] => {
  const out: string[] = []
  for (const word of text.split(' ')) {
    const last = out[out.length - 1]
    if (last !== undefined && last.length + 1 + word.length <= letters) out[out.length - 1] = `${last} ${word}`
    else out.push(word)
  }
  return out
}

export type Attributes = Readonly<Record<string, string | number | undefined>>

/** One element with its attributes; numbers are cut to two decimals, undefined ones left out. */
export const element = (name: string, attributes: Attributes, inside = ''): string => {
  let text = `<${name}`
  for (const [key, value] of Object.entries(attributes)) {
    if (value === undefined) continue
    text += ` ${key}="${typeof value === 'number' ? px(value) : escapeText(value)}"`
  }
  return inside ? `${text}>${inside}</${name}>` : `${text}/>`
}

/** A line of text at a place. */
export const textAt = (x: number, y: number, text: string, attributes: Attributes = {}): string =>
  element('text', { x, y, fill: INK, 'font-size': 11, ...attributes }, escapeText(text))

/** The outermost element: named for screen readers, sized in px, scalable. */
export const picture = (width: number, height: number, label: string, inside: string): string =>
  element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${px(width)} ${px(height)}`,
      width,
      height,
      role: 'img',
      'aria-label': label,
      'font-family': FONT,
      'font-variant-numeric': 'tabular-nums',
    },
    inside,
  )
