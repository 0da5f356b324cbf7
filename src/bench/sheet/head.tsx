// The sheet's head: what is shown, at what size, how to open another, and the steps taken so far.

import { useRef } from 'preact/hooks'
import type { CodeReport } from '../../engine/examine/index.ts'
import { shown } from '../../picture/index.ts'
import { canRedo, canUndo } from '../actions/actions.ts'
import { walkTo } from '../examine-run.ts'
import { openFiles, openSource } from '../open-files.ts'
import { leavePage, openPage, pageId } from '../pages/page-place.ts'
import { PAGES } from '../pages/page-table.ts'
import { dialog, isWhole, sheet, sources, step, stepAt, steps, type Theme, theme, topMm } from '../state.ts'
import { lengthWords } from '../units.ts'
import { compare, held, letGo } from '../whatif/held.ts'

/** Minutes, and hours where there are any. */
const durationWords = (timeS: number): string => {
  const minutes = Math.round(timeS / 60)
  return minutes < 100 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`
}

/** A print file in one line: its layers, height, plastic and time. */
const codeLine = ({ nBytes, nMoves, massG, times, layers }: CodeReport, heightMm: number): string =>
  [
    'a print file',
    `${lengthWords(heightMm, 1)} tall`,
    `${layers.nLayers} layers`,
    `${shown(massG, 2)} g`,
    durationWords(times.printS),
    `${nMoves} moves in ${Math.ceil(nBytes / 1024)} kB`,
  ].join(' · ')

const scaleLine = (): string => {
  const { summary, figure, settings, code } = sheet.value
  if (code) return codeLine(code, topMm.value)
  if (!figure) return ''
  const soleToEye = summary?.soleToEyeMm ?? figure.eyeLine.value - figure.soleMm
  const parts = [
    `${lengthWords(soleToEye, 1)} to the eye line`,
    `${lengthWords(figure.max[2], 1)} tall`,
    `1:${Math.round(figure.oneTo)}`,
    // Of the layers where they are known: they are grown with the walls, the sculpt is not.
    `${shown((summary?.volumeMm3 ?? figure.mass.volume) / 1000, 2)} cm³`,
  ]
  if (settings && summary)
    parts.push(
      `${summary.nLayers} layers of ${lengthWords(settings.layerHeightMm, 2)}`,
      `bead ${lengthWords(settings.beadWidthMm, 2)}`,
    )
  if (summary?.massG && summary.printS)
    parts.push(`${shown(summary.massG, summary.massG < 10 ? 2 : 1)} g`, durationWords(summary.printS))
  return parts.join(' · ')
}

const NEXT_THEME: Readonly<Record<Theme, Theme>> = { auto: 'light', light: 'dark', dark: 'auto' }
const THEME_WORDS: Readonly<Record<Theme, string>> = { auto: 'as the system', light: 'paper', dark: 'night' }

const Tools = () => {
  const input = useRef<HTMLInputElement>(null)
  return (
    <div class="tools">
      <span class="chooser">
        <label class="unseen" for="figure">
          Figure
        </label>
        <select
          id="figure"
          value={step.value?.source.id ?? ''}
          onChange={(event) => {
            const source = sources.value.find(({ id }) => id === event.currentTarget.value)
            if (source) void openSource(source)
          }}
        >
          {!step.value && <option value="">choose a figure</option>}
          {sources.value.map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
        </select>
      </span>
      <input
        ref={input}
        class="unseen"
        type="file"
        multiple
        tabIndex={-1}
        aria-label="Mesh, recipe or print files"
        accept=".stl,.obj,.ply,.off,.3mf,.gltf,.glb,.json,.gcode,.gco,.g,.nc,.txt"
        onChange={(event) => {
          void openFiles([...(event.currentTarget.files ?? [])])
          event.currentTarget.value = ''
        }}
      />
      <button type="button" class="strong" onClick={() => input.current?.click()}>
        Open a file
      </button>
      <button
        type="button"
        onClick={() => {
          dialog.value = 'settings'
        }}
      >
        Size and recipe
      </button>
      <button
        type="button"
        title="Two recipes, sizes or stances side by side: A and B"
        aria-pressed={held.value !== null}
        disabled={!held.value && !isWhole.value}
        onClick={() => (held.value ? letGo() : compare())}
      >
        Compare
      </button>
      <button type="button" disabled={!canUndo()} onClick={() => void walkTo(stepAt.value - 1)}>
        Take back
      </button>
      <button type="button" disabled={!canRedo()} onClick={() => void walkTo(stepAt.value + 1)}>
        Again
      </button>
      <button type="button" onClick={() => print()}>
        Print
      </button>
      <button
        type="button"
        onClick={() => {
          theme.value = NEXT_THEME[theme.value]
        }}
      >
        Light: {THEME_WORDS[theme.value]}
      </button>
      <button
        type="button"
        aria-label="List keys and words"
        onClick={() => {
          dialog.value = 'keys'
        }}
      >
        ?
      </button>
    </div>
  )
}

/** Walkable history; shown when there is more than the first step. */
const Steps = () =>
  steps.value.length < 2 ? null : (
    <nav class="steps" aria-label="Steps taken">
      <ol>
        {steps.value.map(({ label }, k) => (
          <li key={k} class={k > stepAt.value ? 'taken-back' : ''}>
            <button type="button" aria-current={k === stepAt.value ? 'step' : undefined} onClick={() => void walkTo(k)}>
              {label}
            </button>
          </li>
        ))}
      </ol>
    </nav>
  )

/** The pages beside the sheet, each with its question. */
const Pages = () => (
  <nav class="pages" aria-label="Pages">
    <ul>
      {PAGES.map(({ id, name, question }) => (
        <li key={id}>
          <button
            type="button"
            title={question}
            aria-current={pageId.value === id ? 'page' : undefined}
            onClick={() => (pageId.value === id ? leavePage() : openPage(id))}
          >
            {name}
          </button>
        </li>
      ))}
    </ul>
  </nav>
)

/** Name, scale line, tools, pages, steps. */
export const Head = () => (
  <header class="head">
    <h1>{sheet.value.summary?.name ?? sheet.value.figure?.name ?? step.value?.source.name ?? 'Fettle'}</h1>
    <Tools />
    <p class="scale-line">{scaleLine() || 'Examines a small figure before any plastic is melted.'}</p>
    <Pages />
    <Steps />
  </header>
)
