// The page for publishing: what the author says, what goes in, and the guide or hand-out as one file.

import { useSignal } from '@preact/signals'
import { useEffect, useRef } from 'preact/hooks'
import { type GuideContent, handOutHtml, publishHtml } from '../../guide/index.ts'
import { cautionsFor } from '../../trials/index.ts'
import type { Bench } from '../pages/bench.ts'
import { fileNameOf, saveFile } from '../save-file.ts'
import { fillFrame } from './fill-frame.ts'
import { type ChosenPhoto, guideContent } from './make-guide.ts'
import { ABOUT_FIELDS, type AboutField, about, fillIn } from './publish-fields.ts'
import './publish.css'

/** Nozzles for which the guide can tell the recipe too, mm. */
const BORES = [0.25, 0.4, 0.6] as const

const Field = ({ field }: { field: AboutField }) => {
  const value = field.read(about.value)
  const set = (text: string) => fillIn(field.write(about.value, text))
  return (
    <div class="publish-field">
      <label for={field.id}>{field.label}</label>
      {field.isLong ? (
        <textarea
          id={field.id}
          rows={4}
          maxLength={6000}
          value={value}
          aria-describedby={`${field.id}-help`}
          onInput={(event) => set(event.currentTarget.value)}
        />
      ) : (
        <input
          id={field.id}
          {...(field.type === 'date' ? { type: 'date' } : { type: 'text', maxLength: 300 })}
          value={value}
          aria-describedby={`${field.id}-help`}
          onInput={(event) => set(event.currentTarget.value)}
        />
      )}
      <p id={`${field.id}-help`} class="faint">
        {field.help}
      </p>
    </div>
  )
}

const PHOTO_LINES = [
  ['alt', 'What it shows, for people who cannot see it'],
  ['scale', 'Scale in view, such as "steel rule, marks 1 mm apart"'],
  ['caption', 'Caption'],
] as const

const Photo = ({
  photo,
  number,
  onChange,
  onRemove,
}: {
  photo: ChosenPhoto
  number: number
  onChange: (photo: ChosenPhoto) => void
  onRemove: () => void
}) => (
  <fieldset class="publish-photo">
    <legend>{photo.file.name}</legend>
    {PHOTO_LINES.map(([key, label]) => (
      <div class="publish-field" key={key}>
        <label for={`photo-${number}-${key}`}>{label}</label>
        <input
          id={`photo-${number}-${key}`}
          type="text"
          maxLength={300}
          value={photo[key]}
          onInput={(event) => onChange({ ...photo, [key]: event.currentTarget.value })}
        />
      </div>
    ))}
    <button type="button" onClick={onRemove}>
      Leave it out
    </button>
  </fieldset>
)

const Tick = ({ label, value, onChange }: { label: string; value: boolean; onChange: (value: boolean) => void }) => (
  <label class="check">
    <input type="checkbox" checked={value} onChange={(event) => onChange(event.currentTarget.checked)} />
    <span>{label}</span>
  </label>
)

const PublishPage = ({ bench }: { bench: Bench }) => {
  const photos = useSignal<readonly ChosenPhoto[]>([])
  const bores = useSignal<readonly number[]>([])
  const withTrials = useSignal(true)
  const withSculpt = useSignal(false)
  const paper = useSignal<'A4' | 'Letter' | ''>('A4')
  const troubles = useSignal<readonly string[]>([])
  const preview = useSignal('')
  const picker = useRef<HTMLInputElement>(null)
  const frame = useRef<HTMLIFrameElement>(null)
  const ownBore = bench.step?.settings.printer.nozzleBoreMm
  useEffect(() => {
    // The first guide begins with what is shown; the day is today's.
    const { title, date } = about.value
    if (!title || !date)
      fillIn({
        ...about.value,
        title: title || (bench.parts.summary?.name ?? ''),
        date: date || new Date().toISOString().slice(0, 10),
      })
  }, [])

  useEffect(() => {
    if (preview.value && frame.current) fillFrame(frame.current, preview.value)
  }, [preview.value])

  const made = async (use: (content: GuideContent, name: string) => void) => {
    const content = await guideContent(bench, {
      about: about.value,
      photos: photos.value,
      bores: bores.value,
      withTrials: withTrials.value,
      withSculpt: withSculpt.value,
      paper: paper.value === '' ? null : paper.value,
    })
    troubles.value = content.ok ? [] : content.issues.map(({ message }) => message)
    if (content.ok) use(content.value, fileNameOf(content.value.about.title))
    else bench.say(`${content.issues.length} lines are still missing.`)
  }
  const saveGuide = () =>
    made((content, name) => {
      saveFile(`${name}.html`, publishHtml(content), 'text/html')
      bench.say(`Saved ${name}.html.`)
    })
  const saveHandOut = () =>
    made((content, name) => {
      saveFile(`${name}-hand-out.html`, handOutHtml(content), 'text/html')
      bench.say(`Saved ${name}-hand-out.html.`)
    })
  const show = () =>
    made((content) => {
      preview.value = publishHtml(content)
    })

  return (
    <form class="publish" onSubmit={(event) => event.preventDefault()}>
      <div>
        <h3>What you say</h3>
        {ABOUT_FIELDS.map((field) => (
          <Field key={field.id} field={field} />
        ))}
      </div>
      <div>
        <h3>What goes in</h3>
        <Tick
          label="Trials and outcomes from my notebook"
          value={withTrials.value}
          onChange={(value) => {
            withTrials.value = value
          }}
        />
        <fieldset>
          <legend>The recipe carried over to</legend>
          {BORES.filter((bore) => bore !== ownBore).map((bore) => (
            <Tick
              key={bore}
              label={`a ${bore} mm nozzle (computed, untried)`}
              value={bores.value.includes(bore)}
              onChange={(value) => {
                bores.value = BORES.filter((one) => (one === bore ? value : bores.value.includes(one)))
              }}
            />
          ))}
        </fieldset>
        <Tick
          label="The sculpt itself: I may give it away"
          value={withSculpt.value}
          onChange={(value) => {
            withSculpt.value = value
          }}
        />
        <p class="entry">
          <label for="publish-paper">Paper</label>
          <select
            id="publish-paper"
            value={paper.value}
            onChange={(event) => {
              paper.value = event.currentTarget.value as 'A4' | 'Letter' | ''
            }}
          >
            <option value="A4">A4</option>
            <option value="Letter">Letter</option>
            <option value="">as the printer has it</option>
          </select>
        </p>
        <h3>Photographs</h3>
        <p class="faint">Each with a scale in view. Place, camera and times are taken out of them.</p>
        {photos.value.map((photo, i) => (
          <Photo
            key={`${photo.file.name} ${photo.file.size}`}
            photo={photo}
            number={i + 1}
            onChange={(next) => {
              photos.value = photos.value.with(i, next)
            }}
            onRemove={() => {
              photos.value = photos.value.filter((one) => one !== photo)
            }}
          />
        ))}
        <button type="button" onClick={() => picker.current?.click()}>
          Add photographs
        </button>
        <input
          ref={picker}
          type="file"
          accept="image/jpeg,image/png,image/webp"
          multiple
          hidden
          aria-label="Photographs"
          onChange={(event) => {
            const files = [...(event.currentTarget.files ?? [])]
            event.currentTarget.value = ''
            photos.value = [...photos.value, ...files.map((file) => ({ file, alt: '', caption: '', scale: '' }))].slice(
              0,
              12,
            )
          }}
        />
        <h3>Cautions that stand in every guide</h3>
        <ul class="publish-cautions">
          {cautionsFor('print', 'finish', 'give away').map(({ id, text }) => (
            <li key={id}>{text}</li>
          ))}
        </ul>
        <h3>Publish</h3>
        <p class="deeds">
          <button type="button" class="strong" onClick={() => void saveGuide()}>
            Save the guide
          </button>
          <button type="button" onClick={() => void show()}>
            Show it
          </button>
          <button type="button" onClick={() => void saveHandOut()}>
            Save a hand-out for a class
          </button>
        </p>
        {troubles.value.length > 0 && (
          <div role="alert">
            <p>Not yet:</p>
            <ul>
              {troubles.value.map((text) => (
                <li key={text}>{text}</li>
              ))}
            </ul>
          </div>
        )}
        <p class="faint">
          One page without script that opens anywhere; print it, or save it as PDF, from any browser. Dropped on a
          bench, it opens its recipe there.
        </p>
      </div>
      {preview.value && (
        <div class="publish-preview">
          <p class="deeds">
            <button type="button" onClick={() => frame.current?.contentWindow?.print()}>
              Print it, or save it as PDF
            </button>
            <button
              type="button"
              onClick={() => {
                preview.value = ''
              }}
            >
              Close
            </button>
          </p>
          <iframe ref={frame} title="The guide as readers see it" sandbox="allow-same-origin allow-modals" />
        </div>
      )}
    </form>
  )
}

export default PublishPage
