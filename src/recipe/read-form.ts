// Reads a versioned JSON form against its table of fields: every fault is named with key, value and range; nothing is guessed.

import * as v from 'valibot'
import { good, type Issue, type Outcome } from '../engine/kernel/index.ts'
import type { Field, FieldTable, ValuesOf } from './field.ts'
import { nearKey } from './near-key.ts'
import { foundWords, numberWords, rangeWords } from './words.ts'

type Plain = Record<string, unknown>

/** A kind of file: its name, its present version, its fields, and how each older version becomes the next. */
export interface FormDefinition<F extends string, N extends number, T extends FieldTable> {
  readonly form: F
  readonly version: N
  /** For messages, e.g. "recipe". */
  readonly called: string
  readonly fields: T
  /** Entry i turns version i+1 into version i+2; length version-1. */
  readonly older: readonly ((values: Plain) => Plain)[]
  /** Groups of keys whose values must not fall, e.g. least, nominal and most bead width. */
  readonly rising: readonly (readonly (keyof T & string)[])[]
}

export type ReadForm<F extends string, N extends number, T extends FieldTable> = {
  readonly form: F
  readonly version: N
} & ValuesOf<T>

/** Larger texts are refused before they are parsed: a real file has a few kilobytes. */
const MOST_CHARACTERS = 1_000_000

/** The check of one field as a schema of the validation library. */
const schemaOf = (field: Field): v.GenericSchema => {
  switch (field.kind) {
    case 'number': {
      const ranged = v.pipe(v.number(), v.finite(), v.minValue(field.least), v.maxValue(field.most))
      return field.whole ? v.pipe(ranged, v.integer()) : ranged
    }
    case 'flag':
      return v.boolean()
    case 'text':
      return v.pipe(v.string(), v.trim(), v.minLength(1), v.maxLength(200))
    case 'choice':
      return v.picklist(field.choices)
    case 'series':
      return v.pipe(
        v.array(
          v.tuple([
            v.pipe(v.number(), v.finite()),
            v.pipe(v.number(), v.minValue(field.least), v.maxValue(field.most)),
          ]),
        ),
        v.minLength(1),
        v.maxLength(1000),
        v.check((pairs) => pairs.every(([at], i) => i === 0 || at > pairs[i - 1][0])),
      )
  }
}

/** Adds a hint where the value would fit in a neighbouring unit. It is a hint only: the value is refused all the same. */
const hintFor = (field: Field, value: unknown): string => {
  if (field.kind !== 'number' || typeof value !== 'number') return ''
  const fits = (other: number) => other >= field.least && other <= field.most
  if (field.unit === 'share, 0-1' && value > 1 && fits(value / 100))
    return ` A share is written 0 to 1: ${numberWords(value)} % is ${numberWords(value / 100)}.`
  if (field.unit === 'mm' && fits(value / 1000)) return ` Is this in micrometres? Write ${numberWords(value / 1000)}.`
  if (field.unit === 'mm/s' && value > field.most && fits(value / 60))
    return ` Is this in mm a minute? Write ${numberWords(value / 60)}.`
  return ''
}

const faultOf = (code: string, key: string, field: Field, value: unknown): Issue => {
  const place = { key }
  const accepted = rangeWords(field)
  if (value === undefined)
    return {
      code: `${code}/missing-key`,
      message: `${key} (${field.label}) is missing; give it: ${accepted}. Nothing is filled in for you.`,
      place,
    }
  if (field.kind === 'number' && typeof value === 'string') {
    const unit = field.unit === '' || field.unit === 'share, 0-1' ? 'a plain number' : `a plain number in ${field.unit}`
    return { code: `${code}/wrong-kind`, message: `${key} is ${foundWords(value)}; write ${unit}, ${accepted}.`, place }
  }
  if (field.kind === 'number' && typeof value === 'number') {
    const inRange = value >= field.least && value <= field.most
    return inRange
      ? { code: `${code}/not-whole`, message: `${key} is ${value}; it must be a whole number, ${accepted}.`, place }
      : {
          code: `${code}/out-of-range`,
          message: `${key} is ${numberWords(value)}; it must be ${accepted}.${hintFor(field, value)}`,
          place,
        }
  }
  return { code: `${code}/wrong-kind`, message: `${key} is ${foundWords(value)}; it must be ${accepted}.`, place }
}

const strangerOf = (code: string, called: string, key: string, table: FieldTable): Issue => {
  const near = nearKey(key, table)
  const shown = key.length > 60 ? `${key.slice(0, 57)}...` : key
  const message = near
    ? near.onlyUnit
      ? `${shown} is not a setting of a ${called}; this one is written ${near.key}, ${rangeWords(near.field)}. Convert the value yourself.`
      : `${shown} is not a setting of a ${called}; did you mean ${near.key} (${near.field.label}, ${rangeWords(near.field)})?`
    : `${shown} is not a setting of a ${called}; take it out.`
  return { code: `${code}/unknown-key`, message, place: { key: shown } }
}

/** Keys of the outermost object that stand more than once: a JSON parser would silently keep the last. */
const doubledKeys = (text: string): string[] => {
  const seen = new Set<string>()
  const doubled: string[] = []
  let depth = 0
  const token = /"(?:[^"\\]|\\.)*"|[{}[\]]/g
  for (let m = token.exec(text); m; m = token.exec(text)) {
    const c = m[0]
    if (c === '{' || c === '[') depth++
    else if (c === '}' || c === ']') depth--
    else if (depth === 1 && /^\s*:/.test(text.slice(token.lastIndex, token.lastIndex + 50))) {
      if (seen.has(c)) doubled.push(JSON.parse(c))
      seen.add(c)
    }
  }
  return doubled
}

const lineAndColumn = (text: string, offset: number) => {
  const before = text.slice(0, offset)
  const line = before.split('\n').length
  return { line, column: offset - before.lastIndexOf('\n') }
}

const parsed = (text: string, code: string, called: string): Outcome<Plain> => {
  const fail = (name: string, message: string, place?: Issue['place']): Outcome<never> => ({
    ok: false,
    issues: [{ code: `${code}/${name}`, message, ...(place ? { place } : {}) }],
  })
  if (text.length > MOST_CHARACTERS)
    return fail('too-long', `This text has ${text.length} characters; a ${called} has at most ${MOST_CHARACTERS}.`)
  let value: unknown
  try {
    value = JSON.parse(text)
  } catch (fault) {
    const at = /position (\d+)/.exec(String(fault))
    const place = lineAndColumn(text, at ? Number(at[1]) : text.length)
    return fail(
      'no-json',
      `This is not a ${called}: the JSON breaks off at line ${place.line}, column ${place.column}.`,
      place,
    )
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    return fail('no-object', `A ${called} is one JSON object in braces; this is ${foundWords(value)}.`)
  const doubled = doubledKeys(text)
  if (doubled.length > 0)
    return {
      ok: false,
      issues: doubled.map((key) => ({
        code: `${code}/doubled-key`,
        message: `${key} stands more than once; keep one of them.`,
        place: { key },
      })),
    }
  return good(value as Plain)
}

/** Reads one form. All faults are reported at once. */
export const readForm = <F extends string, N extends number, T extends FieldTable>(
  text: string,
  definition: FormDefinition<F, N, T>,
): Outcome<ReadForm<F, N, T>> => {
  const { form, version, called, fields, older, rising } = definition
  const code = form.replace(/^fettle-/, '')
  const outer = parsed(text, code, called)
  if (!outer.ok) return outer
  const { form: statedForm, version: statedVersion, ...rest } = outer.value
  const fail = (name: string, message: string, key: string): Outcome<never> => ({
    ok: false,
    issues: [{ code: `${code}/${name}`, message, place: { key } }],
  })
  if (statedForm !== form)
    return fail('wrong-form', `form is ${foundWords(statedForm)}; a ${called} says "form": "${form}".`, 'form')
  if (typeof statedVersion !== 'number' || !Number.isInteger(statedVersion) || statedVersion < 1)
    return fail('wrong-version', `version is ${foundWords(statedVersion)}; it must be 1 to ${version}.`, 'version')
  if (statedVersion > version)
    return fail(
      'newer-version',
      `version is ${statedVersion}; this program reads a ${called} up to version ${version}. Use a newer Fettle for this file.`,
      'version',
    )
  let values: Plain = rest
  for (let from = statedVersion; from < version; from++) values = older[from - 1](values)

  const issues: Issue[] = []
  for (const key of Object.keys(values))
    if (!Object.hasOwn(fields, key)) issues.push(strangerOf(code, called, key, fields))
  const read: Plain = { form, version }
  for (const [key, field] of Object.entries(fields)) {
    const value = Object.hasOwn(values, key) ? values[key] : undefined
    const checked = v.safeParse(schemaOf(field), value)
    if (checked.success) read[key] = checked.output
    else issues.push(faultOf(code, key, field, value))
  }
  if (issues.length > 0) return { ok: false, issues }
  for (const keys of rising)
    for (let i = 1; i < keys.length; i++)
      if ((read[keys[i]] as number) < (read[keys[i - 1]] as number))
        issues.push({
          code: `${code}/out-of-order`,
          message: `${keys[i]} is ${read[keys[i]]}, which is less than ${keys[i - 1]}, ${read[keys[i - 1]]}.`,
          place: { key: keys[i] },
        })
  if (issues.length > 0) return { ok: false, issues }
  return good(
    read as ReadForm<F, N, T>,
    statedVersion < version
      ? [
          {
            code: `${code}/older-version`,
            message: `Read from version ${statedVersion}; saved again it will be version ${version}.`,
          },
        ]
      : [],
  )
}
