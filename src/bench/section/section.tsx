// The section at the scrubbed height, in plan and to scale, with its reading in words.

import { useMemo } from 'preact/hooks'
import { sectionSvg } from '../../picture/index.ts'
import { boardPx } from '../board-frame.ts'
import { isPrinting, layer, scrubByLayers, sheet } from '../state.ts'
import { readSection } from './section-words.ts'

const planOf = (layers: NonNullable<typeof sheet.value.layers>, i: number) => ({
  loopStart: layers.loopStart,
  points: layers.points,
  fromLoop: layers.layerStart[i],
  toLoop: layers.layerStart[i + 1],
})

/** Size of the plan, px: wide beside its words, as wide as the board where that is narrow. */
const planSize = (board: number, isPrinted: boolean): { width: number; height: number } => {
  if (isPrinted) return { width: 430, height: 210 }
  const width = Math.round(board < 620 ? Math.max(250, board) : Math.min(1400, 0.58 * board))
  return { width, height: Math.round(Math.min(560, Math.max(250, 0.46 * width))) }
}

/** Plan and words of one layer. */
export const Section = () => {
  const parts = sheet.value
  const at = layer.value
  const reading = useMemo(() => readSection(parts, at), [parts, at])
  const { layers, printed } = parts
  const { width, height } = planSize(boardPx.value, isPrinting.value)
  const svg = useMemo(
    () =>
      layers && reading
        ? sectionSvg(
            {
              solid: planOf(layers, at),
              ...(printed
                ? { beads: { ...printed, fromBead: printed.layerStart[at], toBead: printed.layerStart[at + 1] } }
                : {}),
              ...(at > 0 ? { below: planOf(layers, at - 1) } : {}),
              marks: reading.marks,
              label: `${reading.title}, in plan: ${reading.whole}`,
            },
            { widthPx: width, heightPx: height, mostPxPerMm: 50 },
          )
        : '',
    [layers, printed, reading, width, height, at],
  )
  return (
    <section class="section" data-board aria-labelledby="section-title">
      <div class="section-words">
        <h2 id="section-title">{reading?.title ?? 'Section'}</h2>
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
                ? 'Beads to scale: darker where two lie over each other, paper where none lies. '
                : 'Hatched: solid. '}
              Dashed: the layer below. Rings: thin, lost, surplus, or starting in mid air.
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
      </div>
      <div class="plan" dangerouslySetInnerHTML={{ __html: svg }} />
    </section>
  )
}
