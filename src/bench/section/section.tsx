// The section at the scrubbed height, in plan and to scale, with its reading in words.

import { useMemo } from 'preact/hooks'
import { sectionSvg } from '../../picture/index.ts'
import { boardPx, PRINT_BOARD_PX, textScale } from '../board-frame.ts'
import { painted } from '../elevation/paint.ts'
import { LogNotes } from '../log/log.tsx'
import { chosen, glanceMm, isPrinting, layer, scrubByLayers, sheet } from '../state.ts'
import { inches } from '../units.ts'
import { held } from '../whatif/held.ts'
import { alongWords, paintAlong } from './along-outline.ts'
import { heldOutline } from './held-outline.ts'
import { beadsOfLayer, plasticOfLayer, threadsOfLayer } from './layer-plastic.ts'
import { planOf, readSection } from './section-words.ts'

/** Size of the plan in the sizes of usual text, px: wide beside its words, as wide as the board where that is narrow. */
const planSize = (board: number): { width: number; height: number } => {
  const width = Math.round(board < 620 ? Math.max(250, board) : Math.min(1400, 0.6 * board))
  return { width, height: Math.round(Math.min(560, Math.max(250, 0.52 * width))) }
}

/** Plan and words of one layer. */
export const Section = () => {
  const parts = sheet.value
  const at = layer.value
  const reading = useMemo(() => readSection(parts, at), [parts, at, inches.value])
  const { layers, printed } = parts
  const scale = isPrinting.value ? 1 : textScale.value
  const { width, height } = isPrinting.value
    ? { width: 0.45 * PRINT_BOARD_PX, height: 250 }
    : planSize(boardPx.value / scale)
  const plastic = useMemo(
    () => (printed && layers && at >= 0 ? plasticOfLayer(printed, layers, at) : null),
    [printed, layers, at],
  )
  const over = painted.value
  const along = useMemo(
    () => (over && layers && at >= 0 ? paintAlong(parts, at, over) : null),
    [over, parts, layers, at],
  )
  const a = held.value
  const other = useMemo(() => (a && layers && at >= 0 ? heldOutline(a.parts, layers, at) : null), [a, layers, at])
  const isThreads = parts.findings?.find(({ id }) => id === chosen.value)?.rule === 'threads'
  const svg = useMemo(
    () =>
      layers && reading
        ? sectionSvg(
            {
              solid: planOf(layers, at),
              ...(printed ? { beads: beadsOfLayer(printed, at), plastic: plastic ?? undefined } : {}),
              ...(printed && isThreads ? { threads: threadsOfLayer(printed, at) } : {}),
              ...(along ? { along } : {}),
              ...(other?.outline ? { other: other.outline } : {}),
              ...(at > 0 ? { below: planOf(layers, at - 1) } : {}),
              marks: reading.marks,
              label: `${reading.title}, in plan: ${reading.whole}`,
            },
            { widthPx: width, heightPx: height, mostPxPerMm: 50 },
          )
        : '',
    [layers, printed, plastic, along, other, isThreads, reading, width, height, at],
  )
  return (
    <section class="section" data-board aria-labelledby="section-title">
      <div class="section-words">
        <h2 id="section-title">{reading?.title ?? 'Section'}</h2>
        {reading && (
          <p class={glanceMm.value === null ? 'glance away' : 'glance'} aria-hidden="true">
            under the pointer; a click keeps it
          </p>
        )}
        {reading ? (
          <>
            <p class="faint">{reading.whole}</p>
            <ul>
              {reading.pieces.map((text, k) => (
                <li key={k} class="piece">
                  {text}
                </li>
              ))}
            </ul>
            <p class="key">
              {printed
                ? 'Beads to scale; fuller ink is plastic without room, paler is too little, paper is none. '
                : 'Hatched: solid. '}
              Dashed: the layer below.
              {over ? ` ${alongWords(along, over)}` : ''}
              {other ? ` ${other.words}` : ''}
              {isThreads ? ' Dotted: travels that leave a thread.' : ''}
            </p>
            <p class="layer-steps">
              <button type="button" onClick={() => scrubByLayers(1)}>
                layer up
              </button>
              <button type="button" onClick={() => scrubByLayers(-1)}>
                layer down
              </button>
            </p>
          </>
        ) : (
          <p class="faint">comes when the sections are cut</p>
        )}
        <LogNotes />
      </div>
      <div class="plan" style={{ width: `${width * scale}px` }} dangerouslySetInnerHTML={{ __html: svg }} />
    </section>
  )
}
