// Ways to hand in a file: drop it anywhere, choose it, paste it.

import type { ExamineSettings } from '../engine/examine/index.ts'
import { EXAMINE_DEFAULTS } from '../engine/examine/index.ts'
import { isPrintFile } from './code/tell-print-file.ts'
import { takeStep } from './examine-run.ts'
import { isFormFile, openForm } from './open-forms.ts'
import { takeCarried } from './publish/take-carried.ts'
import * as state from './state.ts'
import { held } from './whatif/held.ts'

/** Above this the tab would run out of memory before it could say so. */
const MOST_BYTES = 700 * 2 ** 20

const settingsFor = (source: state.Source): ExamineSettings =>
  source.soleToEyeMm === null
    ? EXAMINE_DEFAULTS
    : {
        // The crew is modelled in mm with a known eye line: nothing is guessed, and the scale stays 1.
        ...EXAMINE_DEFAULTS,
        scale: { by: 'scale-height', soleToEyeMm: source.soleToEyeMm },
        unit: 'mm',
        eyeLineMm: source.soleToEyeMm,
      }

/** Opens a figure with the starting settings. */
export const openSource = (source: state.Source): Promise<void> =>
  takeStep({ label: source.name, source, settings: settingsFor(source) })

const sourceOf = (file: File): state.Source => ({
  id: `file ${file.name} ${file.size} ${file.lastModified}`,
  name: file.name,
  story: '',
  soleToEyeMm: null,
  bytes: async () => new Uint8Array(await file.arrayBuffer()),
  file,
})

/** Holds a print file against the figure that is shown: one step, with the plan held as A where the file prints that figure. */
const openPrintFile = async (file: File): Promise<void> => {
  const now = state.step.value
  if (!now) {
    state.troubles.value = [`${file.name} is a print file; choose the figure that it prints first, then drop it again.`]
    return
  }
  const plan = !now.code && state.isWhole.value ? { step: now, parts: state.sheet.value } : null
  const source = sourceOf(file)
  await takeStep({ label: `print file ${file.name}`, source: now.source, settings: now.settings, code: source })
  if (plan && state.isWhole.value && state.step.value?.code?.id === source.id && state.sheet.value.code?.placement)
    held.value = plan
}

/** Takes files in: figures can be chosen from then on, the first is opened; a recipe or a card is examined with; a print file is held against the figure. */
export const openFiles = async (given: readonly File[]): Promise<void> => {
  const files = await takeCarried(given)
  const refused: string[] = []
  const isForm = await Promise.all(files.map(isFormFile))
  const form = files.find((_, k) => isForm[k])
  const isPrint = await Promise.all(files.map((file, k) => !isForm[k] && isPrintFile(file)))
  const print = files.find((_, k) => isPrint[k])
  const taken = files
    .filter((_, k) => !isForm[k] && !isPrint[k])
    .filter((file) => {
      if (file.size === 0) refused.push(`${file.name} is empty; choose a file with a mesh in it.`)
      else if (file.size > MOST_BYTES)
        refused.push(
          `${file.name} has ${Math.round(file.size / 2 ** 20)} MB; a browser tab can hold up to ${MOST_BYTES / 2 ** 20}. Use the command for it.`,
        )
      else return true
      return false
    })
  const fresh = taken.map(sourceOf).filter(({ id }) => !state.sources.value.some((known) => known.id === id))
  if (fresh.length) state.sources.value = [...state.sources.value, ...fresh]
  if (taken.length) await openSource(state.sources.value.find(({ id }) => id === sourceOf(taken[0]).id)!)
  if (form) await openForm(form)
  if (print) await openPrintFile(print)
  if (refused.length) state.troubles.value = [...state.troubles.value, ...refused]
}

/** Listens for files dropped or pasted anywhere on the page. */
export const listenForFiles = (): void => {
  let depth = 0
  const carriesFiles = (event: DragEvent) => event.dataTransfer?.types.includes('Files') ?? false
  window.addEventListener('dragenter', (event) => {
    if (!carriesFiles(event)) return
    depth++
    state.isDragging.value = true
  })
  window.addEventListener('dragleave', () => {
    depth = Math.max(0, depth - 1)
    if (depth === 0) state.isDragging.value = false
  })
  window.addEventListener('dragover', (event) => event.preventDefault())
  window.addEventListener('drop', (event) => {
    event.preventDefault()
    depth = 0
    state.isDragging.value = false
    const files = [...(event.dataTransfer?.files ?? [])]
    if (files.length) void openFiles(files)
    else
      state.troubles.value = [
        'What was dropped holds no file. Drop a mesh file (STL, OBJ, PLY, OFF, 3MF, glTF or GLB), a recipe, or a print file.',
      ]
  })
  window.addEventListener('paste', (event) => {
    const files = [...(event.clipboardData?.files ?? [])]
    if (files.length) void openFiles(files)
  })
}
