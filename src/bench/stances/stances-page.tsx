// How to stand or lay the figure: a gallery of the best stances, what each gives up, one of them to try; and where a cut would help.

import { useSignal } from '@preact/signals'
import type { StanceLook, StanceReport } from '../../engine/stances/index.ts'
import { galleryScale, stancePicture } from '../../picture/index.ts'
import type { Bench } from '../pages/bench.ts'
import { ChoiceEntry } from '../pages/choice-entry.tsx'
import { WorkingLine } from '../pages/working-line.tsx'
import { workOf } from '../work/work.ts'
import './stances.css'

const work = workOf('stances')

const PICTURE = { width: 220, height: 210 }

const degrees = ({ stance }: StanceLook): string =>
  [stance.aboutX, stance.aboutY, stance.aboutZ]
    .map((a) => (Math.round((a * 1800) / Math.PI) / 10 + 0).toString())
    .join(', ')

const Facts = ({ look }: { look: StanceLook }) => {
  const rows: readonly (readonly [string, string])[] = [
    ['prints in', `${look.minutes.toFixed(0)} min`],
    ['plastic', `${look.massG.toFixed(2)} g`],
    ['height', `${look.heightMm.toFixed(1)} mm`],
    ['a hand breaks it at', Number.isFinite(look.leastForceN) ? `${look.leastForceN.toFixed(2)} N` : '–'],
    ['over air', `${look.undersideMm2.toFixed(0)} mm²`],
    ['steps on the head', Number.isFinite(look.headStepUm) ? `${look.headStepUm.toFixed(0)} µm` : '–'],
    ['lies on the bed', `${look.contactMm2.toFixed(0)} mm²`],
    ['layers on soft plastic', `${look.nSoftLayers} of ${look.nLayers}`],
    ['turns about x, y, z', `${degrees(look)}°`],
  ]
  return (
    <dl class="page-numbers">
      {rows.map(([name, value]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  )
}

const Gallery = ({ report, bench }: { report: StanceReport; bench: Bench }) => {
  const stances = report.looks.map((look, i) => ({
    stack: look.picture,
    heightMm: look.heightMm,
    title: `Stance ${i + 1}`,
    words: look.attitude,
  }))
  const scale = galleryScale(stances, PICTURE.width, PICTURE.height)
  const tryIt = (look: StanceLook) => {
    const { step } = bench
    if (!step) return
    bench.say(`Trying the figure ${look.attitude}.`)
    void bench.apply(`stance: ${look.attitude}`, { ...step.settings, stance: look.stance })
  }
  return (
    <ol class="stances-gallery">
      {report.looks.map((look, i) => (
        <li key={degrees(look)}>
          <h3>{look.attitude}</h3>
          <div
            class="stances-picture"
            dangerouslySetInnerHTML={{ __html: stancePicture(stances[i], scale, PICTURE.width, PICTURE.height) }}
          />
          <Facts look={look} />
          <ul>
            {look.gains.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
          {look.givesUp.length > 0 && <p>It gives up:</p>}
          <ul>
            {look.givesUp.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
          {i > 0 && (
            <button type="button" onClick={() => tryIt(look)}>
              Try this stance
            </button>
          )}
        </li>
      ))}
    </ol>
  )
}

const StancesPage = ({ bench }: { bench: Bench }) => {
  const most = useSignal('4')
  const answer = work.answer.value?.of === bench.key ? work.answer.value.value : null
  const search = async () => {
    const file = await bench.figure()
    const { step } = bench
    if (!file || !step) return
    const found = await work.run({ file, settings: step.settings, most: Number(most.value) }, bench.key)
    if (found?.ok) bench.say(`${found.report.looks.length} stances are told.`)
  }
  return (
    <div class="stances">
      <p>
        Some two thousand stances are measured on the surface and the limbs; the few that no other beats are laid bead
        by bead. A stance that is tried is a step of the sheet and can be taken back there.
      </p>
      <form
        onSubmit={(event) => {
          event.preventDefault()
          void search()
        }}
      >
        <ChoiceEntry id="stances-most" label="Stances to look at closely" value={most} choices={['2', '4', '6', '8']}>
          <button type="submit" class="strong" disabled={work.progress.value !== null}>
            Search stances
          </button>
        </ChoiceEntry>
      </form>
      <WorkingLine progress={work.progress.value} trouble={work.trouble.value} onStop={work.stop} />
      {answer?.ok === false &&
        answer.messages.map((message) => (
          <p key={message} role="alert">
            {message}
          </p>
        ))}
      {answer?.ok && (
        <>
          <Gallery report={answer.report} bench={bench} />
          <section aria-labelledby="cut-title">
            <h3 id="cut-title">Cut and glued</h3>
            {answer.report.cut ? (
              answer.report.cut.words.map((words) => <p key={words}>{words}</p>)
            ) : (
              <p>{answer.report.noCut}</p>
            )}
          </section>
          <div class="faint">
            {answer.report.basis.map((words) => (
              <p key={words}>{words}</p>
            ))}
          </div>
        </>
      )}
    </div>
  )
}

export default StancesPage
