// Falls off the table: height and floor, early answers, the worst attitudes as they strike, a table, what the model leaves out, cautions.

import { useSignal } from '@preact/signals'
import type { DropFloor, ModalAttitude } from '../../engine/strength/index.ts'
import { cautionsFor } from '../../trials/index.ts'
import type { Bench } from '../pages/bench.ts'
import { ChoiceEntry } from '../pages/choice-entry.tsx'
import { WorkingLine } from '../pages/working-line.tsx'
import { paint } from '../state.ts'
import { fallFrame, fallPicture } from './fall-picture.ts'
import { keepFallsOnSheet, letFall, work } from './falls-on-sheet.ts'
import { FallsTable, percent } from './falls-table.tsx'
import type { FallsAnswer, FallsSoFar } from './falls-worker.ts'
import { KIND_WORDS, tiltWords, useOf } from './worst-apart.ts'
import './falls.css'

const FLOORS = [
  ['stone', 'stone or tile'],
  ['wood', 'hard wood'],
  ['carpet', 'carpet'],
] as const satisfies readonly (readonly [DropFloor, string])[]

const HOW_MANY = [
  ['16', '16, a first look'],
  ['64', '64, the worst on finer cells'],
  ['160', '160, the worst on finer cells'],
] as const

/** What no number here knows. */
const LEFT_OUT = [
  'The first blow and what touches within some milliseconds after it count; bounces and later blows do not.',
  'In the air it does not spin, save where it falls over from standing. The floor pushes straight up, without friction.',
  'Plastic stays linear up to break. Nothing cracks, bends for good or wears from earlier falls, and nothing is painted, glued or pinned.',
  'Cold makes plastic more brittle, and a warm car softer: both are left out.',
  'Bonds and fill are those of this recipe. A print with a fault of its own breaks sooner.',
] as const

let isKept = false

const Drawn = ({ answer, onLook }: { answer: FallsAnswer & { ok: true }; onLook: (mm: number) => void }) => {
  const { drawn } = answer
  if (drawn.length === 0) return null
  const frame = fallFrame(drawn.map(({ drawing }) => drawing))
  return (
    <section aria-labelledby="falls-drawn-title">
      <h3 id="falls-drawn-title">The worst as they strike</h3>
      <p class="faint">
        To one scale. The wedge under the floor: touches first. The ring: breaks first; dashed where plastic stands
        before it.
      </p>
      <ol class="falls-gallery">
        {drawn.map(({ fall, drawing }) => (
          <li key={`${fall.kind} ${fall.down.join()}`}>
            <div
              class="falls-picture"
              dangerouslySetInnerHTML={{ __html: fallPicture(drawing, frame, sentence(fall)) }}
            />
            <p>
              <strong>{tiltWords(fall)}</strong>, {KIND_WORDS[fall.kind]}: breaks in {percent(fall.breakChance.value)}{' '}
              of such falls, {fall.gives}, {fall.timeMs.toFixed(2)} ms after it touches.
            </p>
            <p>
              <button type="button" onClick={() => onLook(fall.at[2])}>
                Look at {fall.at[2].toFixed(1)} mm
              </button>
            </p>
          </li>
        ))}
      </ol>
    </section>
  )
}

const sentence = (fall: ModalAttitude): string =>
  `The figure ${tiltWords(fall)} as it strikes: it lands on what stands ${fall.contact[2].toFixed(1)} mm up and uses ${percent(useOf(fall))} of the strength ${fall.at[2].toFixed(1)} mm up.`

const Known = ({ answer, bench }: { answer: FallsAnswer & { ok: true }; bench: Bench }) => {
  const { drop } = answer
  const nEven = drop.attitudes.filter(({ kind }) => kind === 'even').length
  const tips = drop.attitudes.filter(({ kind }) => kind === 'tip')
  const layOver = (id: string) => {
    paint.value = id
    bench.back()
  }
  return (
    <>
      <p class="falls-verdict">
        <strong>
          From {drop.heightM} m on {drop.floor} it survives {percent(drop.survived.value)}
        </strong>{' '}
        of {nEven} attitudes ({percent(drop.survived.low)} to {percent(drop.survived.high)} with the scatter of
        strength). It weighs {drop.massG.toFixed(2)} g, strikes with {drop.speedMPerS.toFixed(1)} m/s and{' '}
        {drop.energyMJ.toFixed(1)} mJ, and swings at {drop.hz[0]?.toFixed(0) ?? '–'} Hz at the lowest.
        {tips.length > 0 &&
          ` Falling over from standing uses at most ${percent(Math.max(...tips.map(useOf)))} of the strength.`}
      </p>
      {drop.first.length > 0 ? (
        <section aria-labelledby="falls-first-title">
          <h3 id="falls-first-title">Where it breaks first</h3>
          <ol class="falls-first">
            {drop.first.slice(0, 5).map(({ at, share }) => (
              <li key={at.join()}>
                {percent(share)} of all falls, {at[2].toFixed(1)} mm up (x {at[0].toFixed(1)}, y {at[1].toFixed(1)} mm){' '}
                <button type="button" onClick={() => bench.lookAt(at[2])}>
                  Look at {at[2].toFixed(1)} mm
                </button>
              </li>
            ))}
          </ol>
        </section>
      ) : (
        <p>It breaks nowhere in these falls.</p>
      )}
      <Drawn answer={answer} onLook={bench.lookAt} />
      <FallsTable
        attitudes={drop.attitudes}
        caption="Attitudes, worst first; heights lead to the sheet"
        onLook={bench.lookAt}
      />
      <p class="falls-over">
        Laid over the figure on the sheet:{' '}
        <button type="button" onClick={() => layOver('falls-land')}>
          How grave it is to land there
        </button>{' '}
        <button type="button" onClick={() => layOver('falls-break')}>
          How often it breaks there
        </button>
      </p>
      <ul class="falls-words faint">
        {drop.basis.map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ul>
    </>
  )
}

/** What is known while it falls, and after a stop. */
const SoFar = ({ soFar, isBusy, bench }: { soFar: FallsSoFar; isBusy: boolean; bench: Bench }) => {
  const even = soFar.attitudes.filter(({ kind }) => kind === 'even')
  const breaks = even.reduce((sum, { breakChance }) => sum + breakChance.value, 0)
  const worst = [...soFar.attitudes].sort((a, b) => useOf(b) - useOf(a))[0]
  return (
    <section class="falls-so-far" aria-label={isBusy ? 'So far' : 'Stopped: what was known'}>
      <p>
        {isBusy ? 'So far' : 'Stopped. Known until then'}: of the first {even.length} of {soFar.nAttitudes} attitudes,
        from upright towards head down, it survives {percent(even.length > 0 ? 1 - breaks / even.length : Number.NaN)}.
        The worst uses {percent(useOf(worst))} of the strength {worst.at[2].toFixed(1)} mm up.
      </p>
      {!isBusy && (
        <FallsTable
          attitudes={soFar.attitudes}
          caption={`Only part of the attitudes, from ${soFar.heightM} m on ${soFar.floor}; worst first, heights lead to the sheet`}
          onLook={bench.lookAt}
        />
      )}
    </section>
  )
}

const FallsPage = ({ bench }: { bench: Bench }) => {
  if (!isKept) {
    isKept = true
    keepFallsOnSheet(bench)
  }
  const height = useSignal('1')
  const floor = useSignal<string>('stone')
  const many = useSignal<string>('64')
  const isBusy = work.progress.value !== null
  const reply = work.answer.value?.of === bench.key ? work.answer.value.value : null
  const partial = work.partial.value as FallsSoFar | null
  const soFar = partial?.key === bench.key ? partial : null
  // After a whole answer the last partial one says nothing new.
  const isDone = reply?.ok === true && reply.drop.attitudes.length >= (soFar?.attitudes.length ?? 0)
  const isSame = reply?.ok === true && soFar?.heightM === reply.drop.heightM && soFar.floor === reply.drop.floor
  const start = () =>
    letFall(bench, {
      heightM: Number(height.value),
      floor: floor.value as DropFloor,
      nAttitudes: Number(many.value),
      isFirstLook: many.value === '16',
    })
  return (
    <div class="falls">
      <p>
        The figure as this recipe prints it is let fall in attitudes spread evenly over the sphere, in its poses of
        rest, and over its edge from standing. Each blow is followed in time: contact, dents, the whole figure's motion,
        its own vibrations.
      </p>
      <form
        class="falls-form"
        onSubmit={(event) => {
          event.preventDefault()
          void start()
        }}
      >
        <p class="entry">
          <label for="falls-height">Height of the fall, m</label>
          <input
            id="falls-height"
            type="number"
            min="0.05"
            max="5"
            step="0.05"
            required
            value={height.value}
            onInput={(event) => {
              height.value = event.currentTarget.value
            }}
          />
        </p>
        <ChoiceEntry id="falls-floor" label="Floor" value={floor} choices={FLOORS} />
        <ChoiceEntry id="falls-many" label="Attitudes" value={many} choices={HOW_MANY}>
          <button type="submit" class="strong" disabled={isBusy || !bench.isWhole}>
            Let it fall
          </button>
        </ChoiceEntry>
      </form>
      <WorkingLine progress={work.progress.value} trouble={work.trouble.value} onStop={work.stop} />
      {soFar && (isBusy || !(isDone && isSame)) && <SoFar soFar={soFar} isBusy={isBusy} bench={bench} />}
      {reply?.ok === false &&
        reply.messages.map((message) => (
          <p key={message} role="alert">
            {message}
          </p>
        ))}
      {reply?.ok && !isBusy && <Known answer={reply} bench={bench} />}
      <section class="falls-cautions" aria-labelledby="falls-cautions-title">
        <h3 id="falls-cautions-title">What is left out, and cautions</h3>
        <ul class="falls-words">
          {LEFT_OUT.map((words) => (
            <li key={words}>{words}</li>
          ))}
        </ul>
        <ul class="falls-words">
          {cautionsFor('snap').map(({ id, text }) => (
            <li key={id}>{text}</li>
          ))}
          <li>
            Who lets one fall on purpose: a clear floor, shoes on, nobody below, no animal about, every splinter found
            and swept up.
          </li>
        </ul>
      </section>
    </div>
  )
}

export default FallsPage
