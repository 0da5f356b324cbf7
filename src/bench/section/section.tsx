// The section at the scrubbed height, in plan and to scale, with its reading in words.

import { useSignal, useSignalEffect } from '@preact/signals'
import { useMemo } from 'preact/hooks'
import { legendSvg, planScale, sectionSvg } from '../../picture/index.ts'
import { boardPx, PRINT_BOARD_PX, textScale } from '../board-frame.ts'
import { painted } from '../elevation/paint.ts'
import { LogNotes } from '../log/log.tsx'
import { chosen, glanceMm, isPrinting, layer, scrubByLayers, sheet } from '../state.ts'
import { inches } from '../units.ts'
import { held } from '../whatif/held.ts'
import { alongOf, alongWords, nearestAlong, profileOf, spotAt } from './along-outline.ts'
import { heldOutline } from './held-outline.ts'
import { beadsOfLayer, plasticOfLayer, threadsOfLayer } from './layer-plastic.ts'
import { linesAlong } from './outline-lines.ts'
import { Profile } from './profile.tsx'
import { planOf, readSection } from './section-words.ts'

/** Size of the plan in the sizes of usual text, px: wide beside its words, as wide as the board where that is narrow. */
const planSize = (board: number): { width: number; height: number } => {
  const width = Math.round(board < 620 ? Math.max(250, board) : Math.min(1400, 0.6 * board))
  return { width, height: Math.round(Math.min(560, Math.max(250, 0.52 * width))) }
}

/** The pointer is at the outline within this distance, px. */
const REACH_PX = 24

/** Width of the legend in the sizes of usual text, px. */
const LEGEND_PX = 220

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
  const profile = useMemo(() => {
    const lines = over && layers && at >= 0 ? linesAlong(parts, at, over) : null
    return lines ? profileOf(lines) : null
  }, [over, parts, layers, at])
  const along = useMemo(() => (over && profile ? alongOf(profile.lines, over) : null), [over, profile])
  // The place pointed at belongs to one layer and one quantity.
  const pointed = useSignal<number | null>(null)
  useSignalEffect(() => {
    void [painted.value?.id, layer.value, sheet.value]
    pointed.value = null
  })
  const a = held.value
  const other = useMemo(() => (a && layers && at >= 0 ? heldOutline(a.parts, parts, at) : null), [a, parts, at])
  const frame = { widthPx: width, heightPx: height, mostPxPerMm: 50 }
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
              ...(other?.beads ? { otherBeads: other.beads } : {}),
              ...(at > 0 ? { below: planOf(layers, at - 1) } : {}),
              marks: reading.marks,
              label: `${reading.title}, in plan: ${reading.whole}`,
            },
            frame,
          )
        : '',
    [layers, printed, plastic, along, other, isThreads, reading, width, height, at],
  )
  const plan = layers && at >= 0 ? planScale(planOf(layers, at), frame, other?.outline ?? undefined) : null
  const spot = profile && pointed.value !== null ? spotAt(profile, pointed.value) : null
  const pointAt = (event: PointerEvent & { readonly currentTarget: HTMLElement }) => {
    if (!plan || !profile) return
    const box = event.currentTarget.getBoundingClientRect()
    const [x, y] = [(event.clientX - box.left) / scale, (event.clientY - box.top) / scale]
    const found = nearestAlong(profile, plan.fromX(x), plan.fromY(y), REACH_PX / plan.pxPerMm)
    if (found !== null) pointed.value = found
  }
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
              {over ? ` ${alongWords(profile, over)}` : ''}
              {over?.id === 'thickness' && profile
                ? ' In an outward corner the circle that measures shrinks to nothing; how thin a wall is stands with its piece.'
                : ''}
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
      <div class="plan-side" style={{ width: `${width * scale}px` }}>
        <div class="plan" onPointerMove={over && profile ? pointAt : undefined}>
          <div dangerouslySetInnerHTML={{ __html: svg }} />
          {spot && plan && (
            <i
              class="plan-at"
              style={{ left: `${(100 * plan.toX(spot.x)) / width}%`, top: `${(100 * plan.toY(spot.y)) / height}%` }}
            />
          )}
        </div>
        {over && profile && (
          <div
            class="plan-legend"
            style={{ width: `${LEGEND_PX * scale}px` }}
            dangerouslySetInnerHTML={{
              __html: legendSvg(over.name, over.unit, over.from, over.to, over.decimals, LEGEND_PX, over.limit),
            }}
          />
        )}
        {over && profile && !('faceZ' in over.quantity) && !isPrinting.value && (
          <Profile profile={profile} paint={over} widthPx={width} scale={scale} at={pointed} />
        )}
      </div>
    </section>
  )
}
