// What a field of a recipe or card is: name, unit, range, starting value, meaning, source. All else is made from tables of these.

/** Beside every value that the trade uses and nobody has published. */
const COMMON_PRACTICE = 'common practice, no source'

/** Units a field may have, with the ending its key must carry. */
export const UNIT_ENDINGS = {
  mm: 'Mm',
  'mm/s': 'MmPerS',
  'mm/s2': 'MmPerS2',
  'mm3/s': 'Mm3PerS',
  'm/s': 'MPerS',
  s: 'S',
  'deg C': 'C',
  'deg C/s': 'CPerS',
  K: 'K',
  'share, 0-1': 'Share',
  'g/cm3': 'GPerCm3',
  MPa: 'MPa',
  'W/(m K)': 'WPerMK',
  'J/(kg K)': 'JPerKgK',
  'kJ/m2': 'KJPerM2',
  'Pa s': 'PaS',
  'ppm/K': 'PpmPerK',
  '': '',
} as const
export type Unit = keyof typeof UNIT_ENDINGS

interface Described {
  /** Group it is listed under. */
  readonly group: string
  /** The setting in plain words, without unit. */
  readonly label: string
  /** One sentence. */
  readonly meaning: string
  /** Standard, sheet, paper, or "common practice, no source". */
  readonly source: string
}
/** A number, or a count when `whole`; `start` is the starting value, `least` to `most` the range that is accepted. */
export interface NumberField extends Described {
  readonly kind: 'number'
  readonly unit: Unit
  readonly whole: boolean
  readonly start: number
  readonly least: number
  readonly most: number
}
export interface FlagField extends Described {
  readonly kind: 'flag'
  readonly start: boolean
}
export interface TextField extends Described {
  readonly kind: 'text'
  readonly start: string
}
export interface ChoiceField<C extends string = string> extends Described {
  readonly kind: 'choice'
  readonly choices: readonly C[]
  readonly start: C
}
/** A quantity over temperature: pairs of deg C (rising) and value. */
export interface SeriesField extends Described {
  readonly kind: 'series'
  readonly unit: Unit
  readonly start: readonly (readonly [number, number])[]
  readonly least: number
  readonly most: number
}
export type Field = NumberField | FlagField | TextField | ChoiceField | SeriesField
export type FieldTable = Readonly<Record<string, Field>>

/** The values that a table of fields describes. */
export type ValuesOf<T extends FieldTable> = {
  readonly [K in keyof T]: T[K] extends NumberField
    ? number
    : T[K] extends FlagField
      ? boolean
      : T[K] extends ChoiceField<infer C>
        ? C
        : T[K] extends SeriesField
          ? readonly (readonly [number, number])[]
          : string
}

/** Makers of fields for one group, so that a table reads as lines: label, unit, start, least, most, meaning, source. */
export const fieldsOf = (group: string) => ({
  number: (
    label: string,
    unit: Unit,
    start: number,
    [least, most]: readonly [number, number],
    meaning: string,
    source = COMMON_PRACTICE,
  ): NumberField => ({ kind: 'number', group, label, unit, whole: false, start, least, most, meaning, source }),
  count: (
    label: string,
    start: number,
    [least, most]: readonly [number, number],
    meaning: string,
    source = COMMON_PRACTICE,
  ): NumberField => ({ kind: 'number', group, label, unit: '', whole: true, start, least, most, meaning, source }),
  flag: (label: string, start: boolean, meaning: string, source = COMMON_PRACTICE): FlagField => ({
    kind: 'flag',
    group,
    label,
    start,
    meaning,
    source,
  }),
  text: (label: string, start: string, meaning: string): TextField => ({
    kind: 'text',
    group,
    label,
    start,
    meaning,
    source: 'free text',
  }),
  choice: <const C extends string>(
    label: string,
    choices: readonly C[],
    start: C,
    meaning: string,
    source = COMMON_PRACTICE,
  ): ChoiceField<C> => ({ kind: 'choice', group, label, choices, start, meaning, source }),
  series: (
    label: string,
    unit: Unit,
    start: readonly (readonly [number, number])[],
    [least, most]: readonly [number, number],
    meaning: string,
    source: string,
  ): SeriesField => ({ kind: 'series', group, label, unit, start, least, most, meaning, source }),
})
