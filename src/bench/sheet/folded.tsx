// What is folded away under a line of words and may be large: made when it is opened, and scrolls within itself.

import { useSignal } from '@preact/signals'
import type { ComponentChildren } from 'preact'

/** @param label what is inside, for screen readers */
export const Folded = ({
  summary,
  label,
  children,
}: {
  summary: string
  label: string
  children: ComponentChildren
}) => {
  const isOpen = useSignal(false)
  return (
    <details
      onToggle={(event) => {
        isOpen.value = event.currentTarget.open
      }}
    >
      <summary>{summary}</summary>
      <section
        class="table-scroll"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: scrolls, so the keyboard must reach it
        tabIndex={0}
        aria-label={label}
      >
        {isOpen.value && children}
      </section>
    </details>
  )
}
