// A line of a page's form with a few words to choose from.

import type { Signal } from '@preact/signals'
import type { ComponentChildren } from 'preact'

export const ChoiceEntry = ({
  id,
  label,
  value,
  choices,
  children,
}: {
  id: string
  label: string
  value: Signal<string>
  /** What can be chosen: the word itself, or its value and its word. */
  choices: readonly (string | readonly [string, string])[]
  children?: ComponentChildren
}) => (
  <p class="entry">
    <label for={id}>{label}</label>
    <select
      id={id}
      value={value.value}
      onChange={(event) => {
        value.value = event.currentTarget.value
      }}
    >
      {choices.map((choice) => {
        const [own, word] = typeof choice === 'string' ? [choice, choice] : choice
        return (
          <option key={own} value={own}>
            {word}
          </option>
        )
      })}
    </select>
    {children}
  </p>
)
