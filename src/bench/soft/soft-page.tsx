// "Ask the sheet": how deep one place softens again with other layer heights and outer-shell speeds.

import { useSignal } from '@preact/signals'
import type { SoftSeries } from '../../engine/examine/index.ts'
import { softSvg } from '../../picture/index.ts'
import type { Bench } from '../pages/bench.ts'
import { WorkingLine } from '../pages/working-line.tsx'
import { settledMm } from '../state.ts'
import { workOf } from '../work/work.ts'
import './soft.css'

// The sheet's worker knows this figure's whole heat already.
const work = workOf('soft', 'sheet')

/** The same picture as large as the page's text. */
const inRem = (svg: string): string =>
  svg.replace(
    / width="([\d.]+)" height="([\d.]+)"/,
    (_, width, height) => ` width="${Number(width) / 16}rem" height="${Number(height) / 16}rem"`,
  )

const Series = ({ series }: { series: SoftSeries }) => (
  <>
    <h2>{series.name}</h2>
    <p>{series.says}</p>
    {/* biome-ignore lint/a11y/noNoninteractiveTabindex: scrolls sideways, so the keyboard must reach it */}
    <section class="soft-wide" tabIndex={0} aria-label={`Table: ${series.name}`}>
      <table>
        <thead>
          <tr>
            <th scope="col">{series.unit}</th>
            <th scope="col">laid on, °C</th>
            <th scope="col">soft again, mm</th>
            <th scope="col">layers</th>
            <th scope="col">soft already, mm</th>
            <th scope="col">layer, s</th>
          </tr>
        </thead>
        <tbody>
          {series.points.map((p) => (
            <tr key={p.value}>
              <th scope="row">{p.value}</th>
              <td>{p.landingC.toFixed(0)}</td>
              <td>{p.softDepthMm.toFixed(2)}</td>
              <td>{p.softDepthLayers.toFixed(1)}</td>
              <td>{p.standingMm.toFixed(2)}</td>
              <td>{p.layerS.toFixed(1)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  </>
)

const SoftPage = ({ bench }: { bench: Bench }) => {
  const height = useSignal(settledMm.value > 0 ? settledMm.value.toFixed(1) : '')
  const reply = work.answer.value?.of === bench.key ? work.answer.value.value : null
  const known = reply?.ok ? reply.answer : null
  const ask = async () => {
    const file = await bench.figure()
    const { step } = bench
    if (!file || !step) return
    const text = height.value.trim()
    const question = text === '' ? {} : { atMm: Number(text) }
    const told = await work.run({ file, settings: step.settings, question }, bench.key)
    if (told?.ok) bench.say('It is known what softens again.')
  }
  return (
    <div class="soft-page">
      <p>
        Workshops argue whether thinner layers or slower outer shells keep a thin part firm. This asks one place of your
        figure again, bead by bead, with other layer heights and other speeds.
      </p>
      <form
        onSubmit={(event) => {
          event.preventDefault()
          void ask()
        }}
      >
        <p class="entry">
          <label for="soft-height">Height, mm (empty: where it softens deepest)</label>
          <input
            id="soft-height"
            type="number"
            min="0"
            step="0.1"
            value={height.value}
            onInput={(event) => {
              height.value = event.currentTarget.value
            }}
          />
          <button type="submit" class="strong" disabled={work.progress.value !== null}>
            Ask
          </button>
        </p>
      </form>
      <WorkingLine progress={work.progress.value} trouble={work.trouble.value} onStop={work.stop} />
      {reply?.ok === false &&
        reply.messages.map((message) => (
          <p key={message} role="alert">
            {message}
          </p>
        ))}
      {known && (
        <>
          <p>
            {known.fromMm.toFixed(1)} to {known.toMm.toFixed(1)} mm up, {known.widthMm.toFixed(1)} mm wide. Plastic
            softens from {known.softFromC} to {known.softToC} °C.{' '}
            <button type="button" onClick={() => bench.lookAt((known.fromMm + known.toMm) / 2)}>
              Look at it
            </button>
          </p>
          <section
            class="soft-wide"
            // biome-ignore lint/a11y/noNoninteractiveTabindex: scrolls sideways, so the keyboard must reach it
            tabIndex={0}
            aria-label="Depth against layer height and speed"
            dangerouslySetInnerHTML={{
              __html: inRem(softSvg(known.series, 'Depth softened again against layer height and outer-shell speed')),
            }}
          />
          {known.series.map((series) => (
            <Series key={series.name} series={series} />
          ))}
        </>
      )}
    </div>
  )
}

export default SoftPage
