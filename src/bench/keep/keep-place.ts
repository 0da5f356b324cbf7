// Joins the bench to what is kept: finds the place again at the start, and notes every step, height and choice from then on.

import { effect } from '@preact/signals'
import { addressWord, setAddress } from '../address.ts'
import { resume } from '../examine-run.ts'
import { trackChoice } from '../log/standing.ts'
import { openSource } from '../open-files.ts'
import * as state from '../state.ts'
import { inches } from '../units.ts'
import { forgetFiles, keepFile, keptFile } from './kept-files.ts'
import { forgetPlace, placeBefore, stepsOf, writePlace } from './kept-place.ts'

const TRACKS_KEY = 'fettle tracks'
const INCHES_KEY = 'fettle inches'
/** Browsers let a page change its address only so often. */
const ADDRESS_MS = 400

/** Stands in the address for a bench on which nothing lies yet. */
const NONE = 'none'

const crewWord = (id: string): string | null => (id.startsWith('crew ') ? id.slice(5) : null)

const keptSource = (id: string, name: string): state.Source => ({
  id,
  name,
  story: '',
  soleToEyeMm: null,
  bytes: async () => {
    const bytes = await keptFile(id)
    if (!bytes) throw new Error('the browser has not kept this file; open it again')
    return bytes
  },
})

const sourceOf = (id: string, name: string): state.Source | null => {
  const known = state.sources.value.find((source) => source.id === id)
  if (known) return known
  if (!id.startsWith('file ')) return null
  const source = keptSource(id, name)
  state.sources.value = [...state.sources.value, source]
  return source
}

const wordsOfTracks = (text: string | null): readonly string[] | null => {
  const ids = (text ?? '').split(',').filter((id) => /^[a-z][a-z-]{0,30}$/.test(id))
  return ids.length ? ids : null
}

/** Takes up the small choices: those of the address, else those of the last visit. Comes before anything is noted. */
export const recallChoices = (): void => {
  trackChoice.value = wordsOfTracks(addressWord('tracks') ?? localStorage.getItem(TRACKS_KEY))
  inches.value = localStorage.getItem(INCHES_KEY) === 'yes'
  state.paint.value = addressWord('paint') ?? ''
}

/** Opens what was open: the steps of this tab, else the figure that the address names, else the last visit's, else the first of the crew. */
export const openWhereItWas = async (): Promise<void> => {
  const height = Number(addressWord('height'))
  if (height > 0) state.settledMm.value = height
  const turn = Number(addressWord('turn'))
  if (turn > 0) state.turn.value = (turn * Math.PI) / 180
  if (addressWord('figure') === NONE) return
  const named = state.sources.value.find(({ id }) => crewWord(id) === addressWord('figure'))
  const place = placeBefore(true) ?? (named ? null : placeBefore())
  const steps = place ? stepsOf(place, sourceOf, keptSource) : null
  if (place && steps && (!named || steps[place.at].source.id === named.id)) {
    if (await resume(steps, place.at)) return
    if (state.sheet.value.figure) return
    state.sources.value = state.sources.value.filter(({ id }) => id !== steps[place.at].source.id)
  }
  const first = named ?? state.sources.value[0]
  const lost = state.troubles.value
  if (!first) return
  const opening = openSource(first)
  // The figure that was open could not be found again: that is said beside the one that is shown instead.
  if (lost.length) state.troubles.value = lost
  await opening
}

/** Notes where the visitor is, from now on. */
export const keepPlace = (): void => {
  let waiting: ReturnType<typeof setTimeout> | undefined
  const keptIds = new Set<string>()
  effect(() => {
    const steps = state.steps.value
    const at = state.stepAt.value
    const source = steps[at]?.source
    if (!source) return
    writePlace(steps, at)
    for (const one of [source, steps[at].code]) {
      if (!one?.file || keptIds.has(one.id)) continue
      keptIds.add(one.id)
      void keepFile(one.id, one.file)
    }
  })
  effect(() => {
    const source = state.step.value?.source
    const degrees = Math.round((state.turn.value * 180) / Math.PI) % 360
    const words = {
      figure: source ? crewWord(source.id) : null,
      height: state.settledMm.value > 0 ? state.settledMm.value.toFixed(2) : null,
      turn: degrees ? String(degrees) : null,
      tracks: trackChoice.value?.join(',') ?? null,
      paint: state.paint.value || null,
    }
    if (!source) return
    clearTimeout(waiting)
    waiting = setTimeout(() => setAddress(words), ADDRESS_MS)
  })
  effect(() => {
    const ids = trackChoice.value
    if (ids) localStorage.setItem(TRACKS_KEY, ids.join(','))
    else localStorage.removeItem(TRACKS_KEY)
  })
  effect(() => localStorage.setItem(INCHES_KEY, inches.value ? 'yes' : 'no'))
}

/** Forgets files and steps that this browser has kept. */
export const forgetAll = async (): Promise<void> => {
  forgetPlace()
  await forgetFiles()
  state.said.value = 'Forgotten: the files and steps that this browser had kept.'
}
