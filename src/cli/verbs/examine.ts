// The verb "examine" in the table.

import { SEVERITIES } from '../../engine/findings/index.ts'
import type { FieldQuantity } from '../../guide/index.ts'
import { CARD_OPTIONS, DWELL_UNIT, FORCE, OUT, type VerbRow } from '../verb-row.ts'

const UNITS = ['mm', 'cm', 'm', 'inch', 'foot', 'um'] as const

const QUANTITIES: readonly FieldQuantity[] = ['use', 'within', 'between', 'fall', 'movement']

export const EXAMINE: VerbRow = {
  name: 'examine',
  takes: 'FILE...',
  summary: 'examine figures: will they come out, why not, what to change',
  manual: [
    'Reads each figure (STL, OBJ, PLY, OFF, 3MF, glTF, told by content, not by name), cuts it into layers and lists what will break, show or cost, with place, numbers, certainty and remedies whose effect has been computed.',
    'FILE may be - for standard input, or crew:NAME for a built-in figure (see "fettle crew"). After a file that cannot be read the others are still examined; a summary stands at the end.',
    'A recipe file gives everything that is asked of the machine, the cards say what machine and filament can do ("fettle recipe" prints forms to start from); an option given beside them wins.',
    'With --code, the motion code of one figure is read by its words alone and held against the plan: layers, plastic, time, shells, widths, retractions, worst difference first. See "fettle help code".',
    'With --fields, the loads that the quick look calls gravest are solved on a grid of cubes all through the figure, told beside the quick look with the error of the grid, and written as a file. Stress is in MPa, lengths are in mm (metres in glTF).',
    'With --predicted, the solid as it will come out is written as a mesh: layers with round sides, hanging beads drooped, shrunk and curled. A .ply carries the deviation from the sculpt in mm at every vertex, as a number and as a colour.',
    'With --json, standard output carries one JSON object a line and a file: form "fettle-sheet" with the whole sheet, or form "fettle-trouble" for a file that could not be read.',
  ],
  options: [
    { long: 'scale-height', value: 'MM', meaning: 'height from sole to eye line', otherwise: 'guessed from the file' },
    { long: 'ratio', value: 'N', meaning: 'scale 1:N, where a person is 1.75 m tall' },
    { long: 'total-height', value: 'MM', meaning: 'height of everything, base and headgear included' },
    {
      long: 'unit',
      value: 'UNIT',
      choices: UNITS,
      meaning: 'unit of the file',
      otherwise: 'stated by the file, or guessed',
    },
    { long: 'eye-line', value: 'MM', meaning: 'height of the eye line above the soles', otherwise: 'guessed' },
    {
      long: 'stance',
      value: 'X,Y,Z',
      meaning: 'turn about x, then y, then z, in degrees',
      otherwise: '0,0,0',
    },
    ...CARD_OPTIONS,
    { long: 'layer-height', value: 'MM', meaning: 'layer height', otherwise: 'from the recipe' },
    { long: 'first-layer-height', value: 'MM', meaning: 'first layer height', otherwise: 'from the recipe' },
    { long: 'bead-width', value: 'MM', meaning: 'bead width', otherwise: 'from the recipe' },
    { long: 'least-bead-width', value: 'MM', meaning: 'narrowest bead that may be laid', otherwise: 'from the recipe' },
    {
      long: 'together',
      value: 'N',
      meaning: 'figures like it side by side on the bed: the others give each layer time to set',
      otherwise: '1',
    },
    {
      long: 'heat',
      value: 'HOW',
      choices: ['quick', 'whole', 'fine'],
      meaning: 'follow heat by a model of layers, through every bead, or through every bead in finer cells',
      otherwise: 'quick',
    },
    { long: 'shells', value: 'N', meaning: 'shells asked for', otherwise: 'from the recipe' },
    {
      long: 'code',
      value: 'PRINT',
      completes: 'file',
      meaning: 'also tell where a print file of the figure differs from the plan',
    },
    DWELL_UNIT,
    {
      long: 'predicted',
      value: 'PATH',
      completes: 'path',
      meaning: 'also write the printed solid as a mesh: .stl, or .ply with its deviation from the sculpt',
    },
    { long: 'all', short: 'a', meaning: 'tell every finding in full', otherwise: 'the five gravest' },
    { long: 'json', meaning: 'write the sheet as JSON, one line a file' },
    OUT,
    {
      long: 'sheet',
      value: 'PATH',
      completes: 'path',
      meaning: 'also write the sheet as HTML; with several files PATH is a folder',
    },
    {
      long: 'fields',
      value: 'PATH',
      completes: 'path',
      meaning: 'also work out the whole field of stress and write it: .vtu (open VTK XML) or .glb (glTF with colours)',
    },
    { long: 'field-cell', value: 'MM', meaning: 'cell of that field', otherwise: '0.2, or coarser for large figures' },
    {
      long: 'quantity',
      value: 'WORD',
      choices: QUANTITIES,
      meaning: 'what colours the .glb: strength use, within or between layers, in a fall, movement',
      otherwise: 'use',
    },
    FORCE,
    {
      long: 'fail-on',
      value: 'SEVERITY',
      choices: SEVERITIES,
      meaning: 'exit code 1 when there is a finding this grave or graver',
      otherwise: 'findings do not change the exit code',
    },
  ],
  examples: [
    ['fettle examine crew:keeper', 'a built-in figure'],
    [
      'fettle examine ferryman.stl --scale-height 32 --sheet ferryman.html',
      'at 32 mm to the eye, with a sheet to print',
    ],
    ['fettle examine crew:keeper --code keeper.gcode', 'does the print file do what the plan asks?'],
    ['fettle examine crew:keeper --fields keeper.vtu', 'stress everywhere inside, for a program that draws fields'],
    ['fettle examine crew/*.stl --json --fail-on breaks > sheets.jsonl', 'a whole collection, for a script'],
  ],
  completes: 'figure',
}
