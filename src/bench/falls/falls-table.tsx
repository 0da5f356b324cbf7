// Attitudes in a table, worst first: how it lies, what it lands on, the chance of breaking, the stress, what gives and where.

import { useSignal } from '@preact/signals'
import type { ModalAttitude } from '../../engine/strength/index.ts'
import { KIND_WORDS, tiltWords, useOf, worstFirst } from './worst-apart.ts'

/** Attitudes that are told before the rest is asked for. */
const FIRST = 10

export const percent = (share: number): string => {
  if (!Number.isFinite(share)) return '–'
  if (share > 0 && share < 0.005) return '< 1 %'
  if (share < 1 && share > 0.995) return '> 99 %'
  return `${Math.round(100 * share)} %`
}

/** The range that scatter leaves, where it can be told from the value. */
const rangeWords = ({ low, high }: ModalAttitude['breakChance']): string =>
  percent(low) === percent(high) ? '' : `${percent(low)} to ${percent(high)}`

const Row = ({ fall, onLook }: { fall: ModalAttitude; onLook: (mm: number) => void }) => {
  const { breakChance, gives, stressMPa, at, contact, greatestForceN, contactMs, timeMs, fine } = fall
  return (
    <tr>
      <th scope="row">
        {tiltWords(fall)}
        <span class="faint">, {KIND_WORDS[fall.kind]}</span>
      </th>
      <td>{contact[2].toFixed(1)}</td>
      <td>
        {percent(breakChance.value)} <span class="faint falls-range">{rangeWords(breakChance)}</span>
      </td>
      <td>
        {percent(useOf(fall))}
        {fine && <span class="faint"> fine</span>}
      </td>
      <td>{stressMPa.toFixed(0)}</td>
      <td class="falls-range">{gives}</td>
      <td>
        <button type="button" onClick={() => onLook(at[2])}>
          {at[2].toFixed(1)} mm
        </button>
      </td>
      <td>{greatestForceN.toFixed(0)}</td>
      <td>{contactMs.toFixed(2)}</td>
      <td>{timeMs.toFixed(2)}</td>
    </tr>
  )
}

/** @param caption says what stands in the table, and whether more is still to come */
export const FallsTable = ({
  attitudes,
  caption,
  onLook,
}: {
  attitudes: readonly ModalAttitude[]
  caption: string
  onLook: (mm: number) => void
}) => {
  const isAll = useSignal(false)
  const sorted = worstFirst(attitudes)
  return (
    <>
      <section
        class="page-table falls-table"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: scrolls sideways, so the keyboard must reach it
        tabIndex={0}
        aria-label="Table of attitudes"
      >
        <table>
          <caption>{caption}</caption>
          <thead>
            <tr>
              <th scope="col">how it lies</th>
              <th scope="col">lands on, mm up</th>
              <th scope="col">chance of breaking</th>
              <th scope="col">strength used</th>
              <th scope="col">stress, MPa</th>
              <th scope="col">what gives</th>
              <th scope="col">breaks at</th>
              <th scope="col">push, N</th>
              <th scope="col">for, ms</th>
              <th scope="col">after, ms</th>
            </tr>
          </thead>
          <tbody>
            {sorted.slice(0, isAll.value ? undefined : FIRST).map((fall) => (
              <Row key={`${fall.kind} ${fall.down.join()}`} fall={fall} onLook={onLook} />
            ))}
          </tbody>
        </table>
      </section>
      {sorted.length > FIRST && (
        <p>
          <button
            type="button"
            aria-pressed={isAll.value}
            onClick={() => {
              isAll.value = !isAll.value
            }}
          >
            All {sorted.length} attitudes
          </button>
        </p>
      )}
    </>
  )
}
