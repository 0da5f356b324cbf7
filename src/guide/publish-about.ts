// What a person says about a guide: the facts that no engine knows. A plain JSON form, so that it can be kept and used again.

import * as v from 'valibot'
import { failed, good, type Outcome } from '../engine/kernel/index.ts'
import { RECIPE_FIELDS } from '../recipe/index.ts'

const line = v.pipe(v.string(), v.maxLength(300))
const filled = v.pipe(line, v.trim(), v.minLength(1, 'some words'))
const paragraph = v.pipe(v.string(), v.maxLength(6000))

const photoSchema = v.strictObject({
  /** Path of the picture, beside this file. */
  file: filled,
  /** What is seen, for people who cannot see it. */
  alt: filled,
  caption: line,
  /** What in the picture shows how large things are: "steel rule, marks 1 mm apart". */
  scale: filled,
})
export type PhotoAbout = Readonly<v.InferOutput<typeof photoSchema>>

const aboutSchema = v.strictObject({
  form: v.literal('fettle-guide-about'),
  version: v.literal(1),
  title: filled,
  /** Version of the guide itself, such as "1" or "2, after the second ladder". */
  guideVersion: filled,
  /** Day of this version, 2026-11-25. */
  date: v.pipe(v.string(), v.regex(/^\d{4}-\d\d-\d\d$/, 'a day such as 2026-11-25')),
  author: filled,
  introduction: paragraph,
  sculpt: v.strictObject({
    maker: filled,
    licence: filled,
    /** Who gave leave to show the sculpt, and when; "my own work" where it is. */
    leave: filled,
    /** True only when the file itself may be given away inside the page. */
    mayBeGivenAway: v.boolean(),
  }),
  /** Own reasons for lines of the recipe, by key. */
  reasons: v.record(v.string(), line),
  /** What readers on other machines should know, in the author's own words. */
  otherMachines: paragraph,
  photos: v.pipe(v.array(photoSchema), v.maxLength(12)),
})
export type GuideAbout = Readonly<v.InferOutput<typeof aboutSchema>>

/** The form to begin with. Some lines must be filled in before it is accepted. */
export const EMPTY_ABOUT: GuideAbout = {
  form: 'fettle-guide-about',
  version: 1,
  title: '',
  guideVersion: '1',
  date: '',
  author: '',
  introduction: '',
  sculpt: { maker: '', licence: '', leave: '', mayBeGivenAway: false },
  reasons: {},
  otherMachines: '',
  photos: [],
}

/** One fault in words. */
const faultWords = (key: string, issue: v.BaseIssue<unknown>): string => {
  if (issue.type === 'strict_object')
    return issue.received === 'undefined' ? `${key} is missing; give it.` : `${key} does not belong there; take it out.`
  const wanted = issue.type === 'min_length' || issue.type === 'regex' ? issue.message : issue.expected
  return `${key}: ${issue.received.slice(0, 60)} stands where ${wanted ?? issue.message} belongs.`
}

/** Checks the form, from a file or from fields on screen. Every fault is named. Codes "guide/about", "guide/newer-version". */
export const checkAbout = (value: unknown): Outcome<GuideAbout> => {
  const version = (value as { version?: unknown } | null)?.version
  if (typeof version === 'number' && version > 1)
    return failed('guide/newer-version', `version is ${version}; this program reads version 1. Use a newer Fettle.`, {
      key: 'version',
    })
  const read = v.safeParse(aboutSchema, value)
  const strangers = read.success ? Object.keys(read.output.reasons).filter((key) => !(key in RECIPE_FIELDS)) : []
  if (read.success && strangers.length === 0) return good(read.output)
  return {
    ok: false,
    issues: [
      ...(read.success ? [] : read.issues.slice(0, 30)).map((issue) => {
        const key = v.getDotPath(issue) ?? 'form'
        return { code: 'guide/about', message: faultWords(key, issue), place: { key } }
      }),
      ...strangers.slice(0, 10).map((key) => ({
        code: 'guide/about',
        message: `reasons: ${key.slice(0, 60)} is no line of a recipe.`,
        place: { key: `reasons.${key.slice(0, 60)}` },
      })),
    ],
  }
}
