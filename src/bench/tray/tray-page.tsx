// What shares a bed: plates drawn in plan to scale, order, times, plastic, risk, a timetable.

import { useSignal } from '@preact/signals'
import { EXAMINE_DEFAULTS, type ExamineSettings } from '../../engine/examine/index.ts'
import { durationWords } from '../../guide/index.ts'
import { traySvg } from '../../picture/index.ts'
import { EVENING, outlineAt, type TrayAnswer, type TrayFacts, type TrayOptions } from '../../tray/index.ts'
import type { Bench } from '../pages/bench.ts'
import { useOwnWidth } from '../pages/own-width.ts'
import { WorkingLine } from '../pages/working-line.tsx'
import * as state from '../state.ts'
import { workOf } from '../work/work.ts'
import { FIRST_ENTRIES, type TrayEntries, TrayForm } from './tray-form.tsx'
import './tray.css'

const work = workOf('tray')

const numberOr = (text: string, otherwise: number): number => {
  const value = Number(text.replace(',', '.'))
  return text.trim() !== '' && Number.isFinite(value) ? value : otherwise
}

/** Settings of a figure at hand: those it was last seen with, on the machine and with the recipe that is shown now. */
const settingsOf = (source: state.Source, shown: ExamineSettings | undefined): ExamineSettings => {
  const last = state.steps.value.filter((step) => step.source.id === source.id).at(-1)?.settings
  const size: Pick<ExamineSettings, 'scale' | 'unit' | 'eyeLineMm' | 'stance'> =
    last ??
    (source.soleToEyeMm === null
      ? EXAMINE_DEFAULTS
      : {
          ...EXAMINE_DEFAULTS,
          scale: { by: 'scale-height', soleToEyeMm: source.soleToEyeMm },
          unit: 'mm',
          eyeLineMm: source.soleToEyeMm,
        })
  const { scale, unit, eyeLineMm, stance } = size
  return { ...(shown ?? EXAMINE_DEFAULTS), nTogether: 1, scale, unit, eyeLineMm, stance }
}

const optionsOf = (e: TrayEntries, spool: string): Partial<TrayOptions> => ({
  gapMm: numberOr(e.gap, 5),
  hazardPerHour: numberOr(e.hazard, 0.01),
  pricePerKg: numberOr(e.price, 20),
  pricePerKWh: numberOr(e.tariff, 0.3),
  onSpoolG: e.onSpool.trim() === '' ? {} : { [spool]: numberOr(e.onSpool, 0) },
  calendar: {
    ...EVENING,
    nPrinters: Math.max(1, Math.min(50, Math.round(numberOr(e.printers, 1)))),
    slotMin: 60 * Math.max(0.25, numberOr(e.evening, 4.5)),
  },
})

const picture = (tray: TrayFacts, k: number, widthPx: number): string => {
  const { plate, together } = tray.plates[k]
  const { xMm, yMm, marginMm } = tray.bed
  const pieces = plate.places.map((place) => ({
    ...outlineAt(tray.figures[place.figure].outline, place),
    x: place.x,
    y: place.y,
    name: tray.figures[place.figure].name,
  }))
  const label = `Plate ${k + 1} in plan: ${pieces.length} pieces on a bed of ${xMm} x ${yMm} mm, numbered in the order of printing`
  return traySvg({ bedXMm: xMm, bedYMm: yMm, marginMm, pieces, order: together.order, way: true, label }, widthPx)
}

const Plate = ({ tray, k }: { tray: TrayFacts; k: number }) => {
  const { plate, together, inTurn, notInTurn, risk } = tray.plates[k]
  const { travels } = together
  const { place, widthPx } = useOwnWidth(560)
  const rows: readonly (readonly [string, string])[] = [
    ['pieces', `${plate.places.length}, ${plate.layout}`],
    ['printing', durationWords(together.printS)],
    ['with heating, cooling, removal', durationWords(together.totalS)],
    ['plastic', `${together.massG.toFixed(1)} g, ${together.filamentM.toFixed(2)} m`],
    ['nearest pieces', Number.isFinite(plate.leastGapMm) ? `${plate.leastGapMm.toFixed(1)} mm apart` : 'one alone'],
    ['travels between pieces', `${travels.nCrossings}, ${travels.airM.toFixed(1)} m over air`],
    ['of them with a thread by pressure', String(travels.nThreads)],
    ['one after another', inTurn ? durationWords(inTurn.printS) : (notInTurn ?? 'no')],
    [
      `good pieces to expect at ${risk.hazardPerHour} an hour`,
      `${risk.together.toFixed(2)} of ${risk.nFigures} at once, ${risk.inTurn.toFixed(2)} one after another, ${risk.apart.toFixed(2)} apart`,
    ],
    ['fewest hours for a good one', `${risk.bestPerPlate} on a plate`],
  ]
  return (
    <section class="tray-plate" aria-labelledby={`plate-${k}`}>
      <h3 id={`plate-${k}`}>Plate {k + 1}</h3>
      <div class="tray-picture" ref={place} dangerouslySetInnerHTML={{ __html: picture(tray, k, widthPx.value) }} />
      <dl class="page-numbers">
        {rows.map(([name, value]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <p>
        Order in every layer, back again in the next:{' '}
        {together.order.map((i) => tray.figures[plate.places[i].figure].name).join(', ')}.
      </p>
    </section>
  )
}

const Lines = ({ id, title, lines }: { id: string; title: string; lines: readonly string[] }) => (
  <section aria-labelledby={id}>
    <h3 id={id}>{title}</h3>
    {lines.map((line) => (
      <p key={line}>{line}</p>
    ))}
  </section>
)

const Report = ({ tray, classCase }: TrayAnswer) => (
  <>
    <div class="tray-plates">
      {tray.plates.map(({ plate }, k) => (
        <Plate key={`${plate.spool} ${k}`} tray={tray} k={k} />
      ))}
    </div>
    <Lines id="tray-times" title="Timetable" lines={tray.calendar.words} />
    <Lines id="tray-cool" title="How many keep thin parts cool" lines={tray.cool.map(({ words }) => words)} />
    <Lines
      id="tray-cost"
      title="Plastic and cost"
      lines={[
        ...tray.spools.map(
          ({ spool, massG, lengthM, leftG, plasticCost }) =>
            `${spool}: ${massG.toFixed(1)} g, ${lengthM.toFixed(2)} m, costs ${plasticCost.toFixed(2)}${leftG === null ? '' : `, ${leftG.toFixed(0)} g remain`}.`,
        ),
        `Power: ${tray.power.kWh.toFixed(2)} kWh, costs ${tray.power.cost.toFixed(2)}.`,
      ]}
    />
    {classCase && <Lines id="tray-class" title="The class" lines={classCase.words} />}
    <div class="faint">
      {tray.assumed.map((words) => (
        <p key={words}>{words}</p>
      ))}
      <p>Do not leave a printer alone: somebody must be in the house, and a smoke alarm near it.</p>
    </div>
  </>
)

const TrayPage = ({ bench }: { bench: Bench }) => {
  const shownId = bench.step?.source.id ?? ''
  const entries = useSignal<TrayEntries>({ ...FIRST_ENTRIES, copies: { [shownId]: '2' } })
  const empty = useSignal('')
  const sources = state.sources.value
  const answer = work.answer.value?.value ?? null
  const plan = async () => {
    const shown = bench.step?.settings
    const chosen = sources
      .map((source) => ({ source, copies: Math.round(numberOr(entries.value.copies[source.id] ?? '0', 0)) }))
      .filter(({ copies }) => copies > 0)
    empty.value = chosen.length === 0 ? 'Give at least one figure a number of copies.' : ''
    if (chosen.length === 0) return
    const spool = (shown ?? EXAMINE_DEFAULTS).filament.name
    const figures = []
    for (const { source, copies } of chosen) {
      const file = { key: source.id, name: source.name, bytes: await source.bytes() }
      figures.push({ file, settings: settingsOf(source, shown), copies, spool })
    }
    const { isClass, pupils, printers, lessons, minutes } = entries.value
    const classRoom = isClass
      ? {
          nPupils: Math.max(1, Math.round(numberOr(pupils, 30))),
          nPrinters: Math.max(1, Math.round(numberOr(printers, 1))),
          nLessons: Math.max(1, Math.round(numberOr(lessons, 2))),
          lessonMin: Math.max(10, numberOr(minutes, 45)),
        }
      : null
    const made = await work.run({ figures, options: optionsOf(entries.value, spool), classRoom })
    if (made?.ok) bench.say(`The tray has ${made.tray.plates.length} plates.`)
  }
  return (
    <div class="tray">
      <p>
        Every figure at hand can go on the tray, each in the stance and size it was last looked at, with the recipe and
        the machine that are shown now.
      </p>
      <TrayForm entries={entries} sources={sources} isBusy={work.progress.value !== null} onPlan={() => void plan()} />
      {empty.value && <p role="alert">{empty.value}</p>}
      <WorkingLine progress={work.progress.value} trouble={work.trouble.value} onStop={work.stop} />
      {answer?.ok === false &&
        answer.messages.map((message) => (
          <p key={message} role="alert">
            {message}
          </p>
        ))}
      {answer?.ok && <Report tray={answer.tray} classCase={answer.classCase} />}
    </div>
  )
}

export default TrayPage
