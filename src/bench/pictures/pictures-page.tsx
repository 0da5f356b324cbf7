// Pictures worth publishing: figure, height log, both, or section, as SVG or as PNG at print resolution.

import { useSignal } from '@preact/signals'
import { useEffect, useMemo } from 'preact/hooks'
import { layOutBoard } from '../board-frame.ts'
import { painted } from '../elevation/paint.ts'
import { standing } from '../log/standing.ts'
import type { Bench } from '../pages/bench.ts'
import { fileNameOf, saveFile } from '../save-file.ts'
import { layer, turn } from '../state.ts'
import { figurePicture, logPicture, type StandingPicture, sectionPicture } from './compose.ts'
import { MOST_SIDE_PX, pngOf, pngSize, svgInMm } from './save-picture.ts'
import { solidPicture } from './solid-picture.ts'
import './pictures.css'

const KINDS = [
  ['figure', 'The figure, with rule and flags', 80],
  ['log', 'The height log', 170],
  ['both', 'The figure with its height log', 170],
  ['section', 'The section at the height that is looked at', 80],
] as const
type Kind = (typeof KINDS)[number][0]
const RESOLUTIONS = [150, 300, 600] as const

const PicturesPage = ({ bench }: { bench: Bench }) => {
  const kind = useSignal<Kind>('figure')
  const widthMm = useSignal(80)
  const dots = useSignal<(typeof RESOLUTIONS)[number]>(300)
  const trouble = useSignal('')
  const solid = useSignal<string | null>(null)
  const { parts } = bench
  const { figure, surface } = parts
  const f = useMemo(() => layOutBoard(1100, 900, figure?.max[2] ?? 30, surface?.reachMm ?? 12), [figure, surface])
  const withFigure = kind.value === 'figure' || kind.value === 'both'
  useEffect(() => {
    let gone = false
    solid.value = null
    if (surface && withFigure)
      solidPicture(surface, f, turn.value, 2400, painted.value?.quantity ?? null).then(
        (address) => {
          if (!gone) solid.value = address
        },
        () => {
          trouble.value = 'The browser has no WebGL, so the figure itself cannot be drawn; log and section can.'
        },
      )
    return () => {
      gone = true
    }
  }, [surface, f, withFigure])
  const picture = useMemo((): StandingPicture | null => {
    if (kind.value === 'section') return sectionPicture(parts, layer.value, painted.value)
    if (kind.value === 'figure')
      return solid.value ? figurePicture(parts, f, turn.value, solid.value, painted.value) : null
    if (!standing.value.length || (kind.value === 'both' && !solid.value)) return null
    return logPicture(
      parts,
      standing.value,
      f,
      92,
      turn.value,
      kind.value === 'both' ? solid.value : null,
      painted.value,
    )
  }, [kind.value, solid.value, parts, f, layer.value, standing.value])
  const preview = useMemo(
    () => (picture ? URL.createObjectURL(new Blob([picture.svg], { type: 'image/svg+xml' })) : ''),
    [picture],
  )
  useEffect(() => () => URL.revokeObjectURL(preview), [preview])
  const size = picture ? pngSize(picture, widthMm.value, dots.value) : null
  const name = `${fileNameOf(figure?.name ?? 'figure')}-${kind.value}`
  const savePng = async () => {
    if (!picture) return
    trouble.value = ''
    try {
      saveFile(`${name}.png`, await pngOf(picture, widthMm.value, dots.value), 'image/png')
      bench.say(`Saved ${name}.png.`)
    } catch (fault) {
      trouble.value = `No picture: ${fault instanceof Error ? fault.message : String(fault)}.`
    }
  }
  return (
    <div class="pictures">
      <form class="picture-form" onSubmit={(event) => event.preventDefault()}>
        <fieldset>
          <legend>Picture</legend>
          {KINDS.map(([id, words, usualMm]) => (
            <label class="check" key={id}>
              <input
                type="radio"
                name="kind"
                checked={kind.value === id}
                onChange={() => {
                  kind.value = id
                  widthMm.value = usualMm
                }}
              />
              <span>{words}</span>
            </label>
          ))}
        </fieldset>
        <p class="entry">
          <label for="picture-width">Width on paper</label>
          <input
            id="picture-width"
            type="number"
            min={20}
            max={600}
            step={1}
            value={widthMm.value}
            onInput={(event) => {
              const value = event.currentTarget.valueAsNumber
              if (value >= 20 && value <= 600) widthMm.value = value
            }}
          />
          <span>mm</span>
        </p>
        <p class="entry">
          <label for="picture-dots">Dots</label>
          <select
            id="picture-dots"
            value={String(dots.value)}
            onChange={(event) => {
              dots.value = Number(event.currentTarget.value) as (typeof RESOLUTIONS)[number]
            }}
          >
            {RESOLUTIONS.map((n) => (
              <option key={n} value={String(n)}>
                {n} an inch
              </option>
            ))}
          </select>
        </p>
        <p class="entry">
          <button
            type="button"
            class="strong"
            disabled={!picture}
            onClick={() => {
              if (picture) saveFile(`${name}.svg`, svgInMm(picture, widthMm.value), 'image/svg+xml')
            }}
          >
            Save as SVG
          </button>
          <button
            type="button"
            disabled={!size || Math.max(size.width, size.height) > MOST_SIDE_PX}
            onClick={() => void savePng()}
          >
            Save as PNG
          </button>
        </p>
        <p class="faint">
          {size
            ? `PNG of ${size.width} × ${size.height} dots. Lines and words of the SVG stay sharp at every size.`
            : ''}
        </p>
        {trouble.value && <p role="alert">{trouble.value}</p>}
      </form>
      {picture ? (
        <img class="picture-preview" src={preview} alt={`Preview: ${KINDS.find(([id]) => id === kind.value)?.[1]}`} />
      ) : (
        <p class="faint">{trouble.value ? '' : 'The picture is being drawn.'}</p>
      )}
    </div>
  )
}

export default PicturesPage
