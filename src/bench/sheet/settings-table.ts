// The figure's, layers' and beads' lines of the settings page: every field with its unit, range, and the reason to change it.

import { EXAMINE_RANGES, type ExamineSettings } from '../../engine/examine/index.ts'

/** One number of the settings page. */
export interface NumberField {
  readonly id: string
  readonly group: 'The figure' | 'Layers and beads' | 'The recipe'
  readonly label: string
  readonly unit: string
  readonly least: number
  readonly most: number
  readonly help: string
  /** The number as shown; null where it is left to be guessed. */
  readonly read: (settings: ExamineSettings) => number | null
  readonly write: (settings: ExamineSettings, value: number | null) => ExamineSettings
}

const DEGREE = Math.PI / 180
const turnField = (axis: 'aboutX' | 'aboutY', label: string, help: string): NumberField => ({
  id: axis,
  group: 'The figure',
  label,
  unit: 'degrees',
  least: -180,
  most: 180,
  help,
  read: ({ stance }) => Math.round(stance[axis] / DEGREE),
  write: (settings, value) => ({ ...settings, stance: { ...settings.stance, [axis]: (value ?? 0) * DEGREE } }),
})
const plainField = (
  key: 'layerHeightMm' | 'firstLayerHeightMm' | 'beadWidthMm' | 'leastBeadWidthMm' | 'nShells',
  rest: Omit<NumberField, 'id' | 'read' | 'write' | 'group' | 'least' | 'most' | 'unit'>,
): NumberField => ({
  id: key,
  group: 'Layers and beads',
  unit: EXAMINE_RANGES[key].unit,
  least: EXAMINE_RANGES[key].from,
  most: EXAMINE_RANGES[key].to,
  ...rest,
  read: (settings) => settings[key],
  write: (settings, value) => (value === null ? settings : { ...settings, [key]: value }),
})

export const FIELDS: readonly NumberField[] = [
  {
    id: 'soleToEyeMm',
    group: 'The figure',
    label: 'Scale height, sole to eye line',
    unit: 'mm',
    least: 3,
    most: 500,
    help: 'Tabletop figures are 28 or 32. Base and headgear come on top. Empty: guessed from the file.',
    read: ({ scale }) => (scale.by === 'scale-height' ? scale.soleToEyeMm : null),
    write: (settings, value) => ({
      ...settings,
      scale: value === null ? { by: 'guess' } : { by: 'scale-height', soleToEyeMm: value },
    }),
  },
  {
    id: 'eyeLineMm',
    group: 'The figure',
    label: 'Eye line above the soles, as the figure stands',
    unit: 'mm',
    least: 1,
    most: 500,
    help: 'Where the eyes are. Set it when the guess is off: raised arms and tall hats mislead it. Empty: guessed.',
    read: ({ eyeLineMm }) => eyeLineMm,
    write: (settings, value) => ({ ...settings, eyeLineMm: value }),
  },
  turnField('aboutX', 'Lean back or forward', 'Turn about the axis from left to right. 90 lays the figure down.'),
  turnField('aboutY', 'Lean to the side', 'Turn about the axis from front to back.'),
  plainField('layerHeightMm', {
    label: 'Layer height',
    help: 'Thin layers show less on slopes and take longer. A quarter of the nozzle is a common choice for figures.',
  }),
  plainField('firstLayerHeightMm', {
    label: 'First layer height',
    help: 'Thicker than the rest, so that an uneven bed is forgiven.',
  }),
  plainField('beadWidthMm', {
    label: 'Bead width',
    help: 'Width of one strand as laid. What is narrower than this is lost or laid wrong.',
  }),
  plainField('leastBeadWidthMm', {
    label: 'Least bead width',
    help: 'The narrowest strand the machine still lays, in gaps and tips.',
  }),
  plainField('nShells', {
    label: 'Shells asked for',
    help: 'Closed beads round every outline. Small parts hold fewer: the log shows how many fit.',
  }),
]

/** Reads one field's text: a number in range, null where empty is allowed, or a sentence that says what is wrong. */
export const readField = (field: NumberField, text: string): { value: number | null } | { wrong: string } => {
  const trimmed = text.trim().replace(',', '.')
  if (trimmed === '')
    return field.id === 'soleToEyeMm' || field.id === 'eyeLineMm'
      ? { value: null }
      : { wrong: `${field.label} needs a number.` }
  const value = Number(trimmed)
  if (!Number.isFinite(value) || value < field.least || value > field.most)
    return {
      wrong: `${field.label} must lie between ${field.least} and ${field.most} ${field.unit}.`.replace(' .', '.'),
    }
  return { value }
}
