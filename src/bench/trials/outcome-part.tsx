// What came out: readings of a trial entered, the record shown, opened, saved; entries withdrawn by new ones; own numbers.

import { useSignal } from '@preact/signals'
import type { ExamineSettings } from '../../engine/examine/index.ts'
import {
  type Attachment,
  LADDERS,
  levelWords,
  MEASURE_ROWS,
  type Measure,
  type OwnNumbers,
  ownNumbersSentence,
  QUESTIONS,
  type Reading,
  standing,
  type Trial,
  type TrialCards,
  type TrialEntry,
  type TrialOutcome,
  type Withdrawal,
  withOwnNumbers,
} from '../../trials/index.ts'
import { askNotebook } from '../notebook/notebook-client.ts'
import type { Bench } from '../pages/bench.ts'
import { workOf } from '../work/work.ts'
import {
  enter,
  forgetRecord,
  openRecord,
  record,
  recordTrouble,
  saveRecord,
  sha256Hex,
  takeIn,
  today,
} from './kept-record.ts'

const work = workOf('trials')

const trialWords = ({ piece, setting, levels, at, run, figure }: Trial): string => {
  const ladder = LADDERS[setting]
  const order = run === 2 ? ', opposite order' : ''
  return `${at}: ${figure?.name ?? piece}, ${ladder.label} ${levels.map((level) => levelWords(ladder, level)).join(', ')}${order}`
}

const measuresOf = (trial: Trial): readonly Measure[] =>
  trial.piece === 'figure' ? ['good'] : QUESTIONS[trial.piece].measures
const piecesOf = (trial: Trial): number => (trial.piece === 'figure' ? 1 : QUESTIONS[trial.piece].pieces)

/** A reading from the text of a field: "1" of the row's pieces, or "1/4" for another number of them. */
const readingFrom = (trial: Trial, level: number, measure: Measure, text: string): Reading | null => {
  const match = /^\s*([\d.,]+)\s*(?:\/\s*(\d+))?\s*$/.exec(text)
  if (!match) return null
  const value = Number(match[1].replace(',', '.'))
  const { counts } = MEASURE_ROWS[measure]
  if (!Number.isFinite(value)) return null
  return { level, measure, value, of: counts ? Number(match[2] ?? piecesOf(trial)) : null }
}

const OutcomeForm = ({ trial, bench }: { trial: Trial; bench: Bench }) => {
  const measure = useSignal<Measure>(measuresOf(trial)[0])
  const texts = useSignal<Readonly<Record<string, string>>>({})
  const photos = useSignal<readonly Attachment[]>([])
  const note = useSignal('')
  const ladder = LADDERS[trial.setting]
  const row = MEASURE_ROWS[measure.value]
  const readings = trial.levels.flatMap((level) => {
    const reading = readingFrom(trial, level, measure.value, texts.value[level] ?? '')
    return reading ? [reading] : []
  })
  const save = async () => {
    const saved = await enter<TrialOutcome>('outcome', {
      kind: 'outcome',
      at: today(),
      trial: trial.id,
      replaces: null,
      readings: [...readings],
      attachments: [...photos.value],
      note: note.value.slice(0, 4000),
    })
    if (!saved) return
    texts.value = {}
    photos.value = []
    note.value = ''
    bench.say('The outcome stands in the record; the plan has learned from it.')
  }
  const attach = async (files: FileList | null) => {
    const all: Attachment[] = []
    for (const file of files ?? []) {
      const bytes = new Uint8Array(await file.arrayBuffer())
      all.push({ sha256: await sha256Hex(bytes), name: file.name.slice(0, 200), bytes: bytes.length })
    }
    photos.value = all
  }
  return (
    <form
      class="trials-outcome"
      onSubmit={(event) => {
        event.preventDefault()
        void save()
      }}
    >
      <p class="entry">
        <label for="outcome-measure">What was looked at</label>
        <select
          id="outcome-measure"
          value={measure.value}
          onChange={({ currentTarget }) => {
            measure.value = currentTarget.value as Measure
            texts.value = {}
          }}
        >
          {measuresOf(trial).map((one) => (
            <option key={one} value={one}>
              {one}
            </option>
          ))}
        </select>
      </p>
      <p>{row.how}</p>
      <div class="trials-row">
        {trial.levels.map((level) => (
          <p class="entry" key={level}>
            <label for={`outcome-${level}`}>{levelWords(ladder, level)}</label>
            <input
              id={`outcome-${level}`}
              inputMode="decimal"
              placeholder={row.counts ? `of ${piecesOf(trial)}` : row.unit}
              value={texts.value[level] ?? ''}
              onInput={({ currentTarget }) => {
                texts.value = { ...texts.value, [level]: currentTarget.value }
              }}
            />
          </p>
        ))}
      </div>
      <p class="entry">
        <label for="outcome-note">Note</label>
        <input
          id="outcome-note"
          class="trials-note"
          value={note.value}
          onInput={({ currentTarget }) => {
            note.value = currentTarget.value
          }}
        />
      </p>
      <p class="entry">
        <label for="outcome-photo">Pictures, kept by their hash</label>
        <input
          id="outcome-photo"
          type="file"
          accept="image/*"
          multiple
          onChange={({ currentTarget }) => void attach(currentTarget.files)}
        />
      </p>
      <p>
        <button type="submit" class="strong" disabled={readings.length === 0}>
          Enter the outcome
        </button>
      </p>
    </form>
  )
}

const entryWords = (entry: TrialEntry): string => {
  switch (entry.kind) {
    case 'trial':
      return trialWords(entry)
    case 'outcome': {
      const trial = record.value.entries.find((one): one is Trial => one.kind === 'trial' && one.id === entry.trial)
      const told = entry.readings
        .map(({ level, measure, value, of }) => {
          const at = trial ? levelWords(LADDERS[trial.setting], level) : String(level)
          return `${at}: ${measure} ${value}${of === null ? '' : ` of ${of}`}`
        })
        .join('; ')
      const pictures = entry.attachments.length > 0 ? `; ${entry.attachments.length} pictures` : ''
      return `${entry.at}: ${told}${pictures}${entry.note ? `; ${entry.note}` : ''}`
    }
    case 'withdrawal':
      return `${entry.at}: withdraws ${entry.of}`
    case 'diagnosis':
      return `${entry.at}: ${entry.symptoms.join(', ')}; ${entry.causes[0]?.cause ?? 'nothing likely'}`
  }
}

const RecordList = ({ bench }: { bench: Bench }) => {
  const held = new Set(standing(record.value).map(({ id }) => id))
  const withdraw = async (entry: TrialEntry) => {
    const saved = await enter<Withdrawal>('back', { kind: 'withdrawal', at: today(), of: entry.id, note: '' })
    if (saved) bench.say('Withdrawn by a new entry; nothing was taken out.')
  }
  if (record.value.entries.length === 0) return <p class="faint">The record is empty.</p>
  return (
    <ol class="trials-record">
      {record.value.entries.map((entry) => (
        <li key={entry.id} class={held.has(entry.id) || entry.kind === 'withdrawal' ? '' : 'trials-gone'}>
          {entry.kind}: {entryWords(entry)}
          {held.has(entry.id) ? (
            <button type="button" class="quiet" onClick={() => void withdraw(entry)}>
              Withdraw
            </button>
          ) : entry.kind === 'withdrawal' ? null : (
            ' (no longer holds)'
          )}
        </li>
      ))}
    </ol>
  )
}

/** Into the notebook and out of it: entries are the same in both, so nothing is written twice. */
const NotebookButtons = ({ bench }: { bench: Bench }) => {
  const said = useSignal('')
  const tell = (words: string) => {
    said.value = words
    bench.say(words)
  }
  const give = async () => {
    const added = await askNotebook('addTrials', record.value)
    if (!added.ok) tell(added.issues[0].message)
    else tell(added.value === 0 ? 'All of it was in the notebook.' : `${added.value} entries went into the notebook.`)
  }
  const take = async () => {
    const told = await askNotebook('trials', null)
    tell(told.ok ? takeIn(told.value) : told.issues[0].message)
  }
  return (
    <>
      <button type="button" onClick={() => void give()} disabled={record.value.entries.length === 0}>
        Keep it in the notebook
      </button>
      <button type="button" onClick={() => void take()}>
        Take from the notebook
      </button>
      <button
        type="button"
        class="quiet"
        disabled={record.value.entries.length === 0}
        onClick={() => {
          // What was neither saved nor put into the notebook is gone for good.
          if (confirm('Delete the record from this browser? Save it first, or keep it in the notebook.')) {
            forgetRecord()
            tell('The record is deleted from this browser.')
          }
        }}
      >
        Delete it from this browser
      </button>
      {said.value && <span>{said.value}</span>}
    </>
  )
}

const OwnNumbersPart = ({ cards, settings, bench }: { cards: TrialCards; settings: ExamineSettings; bench: Bench }) => {
  const numbers = useSignal<OwnNumbers | null>(null)
  const learn = async () => {
    const answer = await work.run({ kind: 'numbers', record: record.value, cards })
    if (answer?.kind === 'numbers') numbers.value = answer.numbers
  }
  const sentence = numbers.value ? ownNumbersSentence(numbers.value) : null
  const use = () => {
    if (!numbers.value) return
    void bench.apply('own numbers', { ...settings, ...withOwnNumbers(cards, numbers.value) }, 'stay')
    bench.say('The sheet runs on your own numbers.')
  }
  return (
    <div>
      <p class="trials-buttons">
        <button type="button" disabled={work.progress.value !== null} onClick={() => void learn()}>
          Learn my own numbers
        </button>
        {sentence && (
          <button type="button" onClick={use}>
            Use them for this sheet
          </button>
        )}
      </p>
      {numbers.value && <p>{sentence ?? 'The record says nothing about air, ooze or strength yet.'}</p>}
      {numbers.value?.feedShare && (
        <p>
          As much plastic comes out as was asked for times {numbers.value.feedShare.value.toFixed(3)} (90 %:{' '}
          {numbers.value.feedShare.low.toFixed(3)} to {numbers.value.feedShare.high.toFixed(3)}).
        </p>
      )}
    </div>
  )
}

export const OutcomePart = ({
  cards,
  settings,
  bench,
}: {
  cards: TrialCards
  settings: ExamineSettings
  bench: Bench
}) => {
  const trials = standing(record.value).filter((entry): entry is Trial => entry.kind === 'trial')
  const chosen = useSignal('')
  const trial = trials.find(({ id }) => id === chosen.value) ?? trials.at(-1) ?? null
  return (
    <section aria-labelledby="outcome-title">
      <h3 id="outcome-title">What came out?</h3>
      {trial ? (
        <>
          <p class="entry">
            <label for="outcome-trial">Trial</label>
            <select
              id="outcome-trial"
              value={trial.id}
              onChange={({ currentTarget }) => {
                chosen.value = currentTarget.value
              }}
            >
              {trials.map((one) => (
                <option key={one.id} value={one.id}>
                  {trialWords(one)}
                </option>
              ))}
            </select>
          </p>
          <OutcomeForm key={trial.id} trial={trial} bench={bench} />
        </>
      ) : (
        <p>A coupon that is saved stands here as a trial; then its outcome can be entered.</p>
      )}
      <h4>The record</h4>
      <RecordList bench={bench} />
      {recordTrouble.value && <p role="alert">{recordTrouble.value}</p>}
      <p class="trials-buttons">
        <button type="button" onClick={saveRecord} disabled={record.value.entries.length === 0}>
          Save the record
        </button>
        <label>
          <span>Open a record: </span>
          <input
            type="file"
            accept="application/json,.json"
            onChange={async ({ currentTarget }) => {
              const file = currentTarget.files?.[0]
              if (file) bench.say(await openRecord(file))
              currentTarget.value = ''
            }}
          />
        </label>
        <NotebookButtons bench={bench} />
      </p>
      <OwnNumbersPart cards={cards} settings={settings} bench={bench} />
    </section>
  )
}
