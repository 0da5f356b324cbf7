// A guide's content for tests, with texts that would do harm in HTML when they are not escaped.

import type { GuideAbout, GuideContent } from '../src/guide/index.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../src/recipe/index.ts'
import type { TrialsRecord } from '../src/trials/index.ts'
import { sampleExamination } from './examination-sample.ts'

export const SAMPLE_ABOUT: GuideAbout = {
  form: 'fettle-guide-about',
  version: 1,
  title: 'The keeper <i>at</i> 28 mm',
  guideVersion: '2',
  date: '2026-11-25',
  author: 'Night ferry & crew',
  introduction: 'Printed on the "evening" machine.\n\nThe lamp came out whole.',
  sculpt: { maker: 'The crew', licence: 'CC BY 4.0', leave: 'our own work', mayBeGivenAway: true },
  reasons: { nozzleC: 'Strings went away here </script><script>alert(1)</script>.' },
  otherMachines: 'On a colder bed use glue.',
  photos: [],
}

export const SAMPLE_TRIALS: TrialsRecord = {
  form: 'fettle-trials',
  version: 1,
  entries: [
    {
      kind: 'trial',
      id: 'ladder-1',
      at: '2026-11-20',
      piece: 'pins',
      setting: 'nozzleC',
      levels: [195, 200, 205],
      run: 1,
      recipeValue: 205,
      recipe: { name: 'evening', sha256: null },
      printer: 'printer',
      filament: 'PLA',
      figure: null,
      codeSha256: null,
      note: '',
    },
    {
      kind: 'outcome',
      id: 'seen-1',
      at: '2026-11-21',
      trial: 'ladder-1',
      replaces: null,
      readings: [
        { level: 195, measure: 'strings', value: 0, of: 4 },
        { level: 200, measure: 'strings', value: 1, of: 4 },
        { level: 205, measure: 'strings', value: 3, of: 4 },
      ],
      attachments: [],
      note: 'fine threads <b>only</b>',
    },
  ],
}

/** A picture of one grey point. */
export const TINY_PNG = Uint8Array.from(
  atob('iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg=='),
  (c) => c.charCodeAt(0),
)

export const sampleContent = (more: Partial<GuideContent> = {}): GuideContent => {
  const { summary, layers, findings, figure } = sampleExamination()
  return {
    about: SAMPLE_ABOUT,
    recipe: { ...STARTING_RECIPE, name: 'evening', nozzleC: 195 },
    printer: STARTING_PRINTER,
    filament: STARTING_FILAMENT,
    examination: { summary, layers, findings, topMm: figure.max[2] },
    source: {
      toolVersion: '0.1.0',
      fileName: 'pillar<x>.stl',
      fileSha256: 'ab'.repeat(32),
      settingsSha256: 'cd'.repeat(32),
    },
    trials: SAMPLE_TRIALS,
    carried: [
      {
        machine: 'a direct feed with a 0.25 mm nozzle',
        lines: [
          { words: 'bead width: 0.25 mm instead of 0.4 mm (37.5 % less)', why: 'as wide against the bore as before' },
        ],
        kept: [
          { label: 'melt rate', unit: 'mm3/s', before: 1.2, after: 1.21, isKept: true },
          { label: 'wall', unit: 'mm', before: 0.8, after: 0.5, isKept: false },
        ],
      },
    ],
    photos: [
      {
        photo: { bytes: TINY_PNG, mime: 'image/png', widthPx: 1, heightPx: 1 },
        alt: 'The keeper "in hand"',
        caption: 'After the third print',
        scale: 'steel rule, marks 1 mm apart',
      },
    ],
    sculpt: null,
    paper: null,
    ...more,
  }
}
