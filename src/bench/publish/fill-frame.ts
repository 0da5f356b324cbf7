// Shows a made page in a frame of the bench. Pages that the bench opens by address keep its own rules, which allow no style inside a page;
// a style sheet that is built here is allowed, so the page's style is handed over as one. Nothing in the frame can run.

/** Puts a page of ours into an empty frame that allows the same origin and no scripts. */
export const fillFrame = (frame: HTMLIFrameElement, html: string): void => {
  const inside = frame.contentDocument
  const view = frame.contentWindow as (Window & typeof globalThis) | null
  if (!inside || !view) return
  // Taken out of the text, as even a page that is only parsed complains of a style inside.
  const [head, style = '', rest = ''] = html.split(/<style>|<\/style>/, 3)
  const page = new DOMParser().parseFromString(head + rest, 'text/html')
  const sheet = new view.CSSStyleSheet()
  sheet.replaceSync(style)
  for (const left of page.querySelectorAll('script, meta[http-equiv]')) left.remove()
  inside.replaceChild(inside.adoptNode(page.documentElement), inside.documentElement)
  inside.adoptedStyleSheets = [sheet]
}
