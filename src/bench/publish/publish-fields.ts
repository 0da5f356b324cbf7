// What the author of a guide fills in, kept in this browser between visits; photographs are not.

import { signal } from '@preact/signals'
import { EMPTY_ABOUT, type GuideAbout } from '../../guide/index.ts'

const KEY = 'fettle guide 1'

/** The fields of one line or paragraph: key, label, help. */
export interface AboutField {
  readonly id: string
  readonly label: string
  readonly help: string
  readonly isLong?: true
  readonly type?: 'date'
  readonly read: (about: GuideAbout) => string
  readonly write: (about: GuideAbout, value: string) => GuideAbout
}

type TextKey = 'title' | 'guideVersion' | 'date' | 'author' | 'introduction' | 'otherMachines'
const own = (id: TextKey, label: string, help: string, more: Pick<AboutField, 'isLong' | 'type'> = {}): AboutField => ({
  id,
  label,
  help,
  ...more,
  read: (about) => about[id],
  write: (about, value) => ({ ...about, [id]: value }),
})
const sculpt = (id: 'maker' | 'licence' | 'leave', label: string, help: string): AboutField => ({
  id: `sculpt-${id}`,
  label,
  help,
  read: (about) => about.sculpt[id],
  write: (about, value) => ({ ...about, sculpt: { ...about.sculpt, [id]: value } }),
})

export const ABOUT_FIELDS: readonly AboutField[] = [
  own('title', 'Title', 'Stands at the head of the page.'),
  own('guideVersion', 'Version', 'Of the guide, so that readers know which one they have.'),
  own('date', 'Day', 'Day of this version.', { type: 'date' }),
  own('author', 'Author', 'As readers may call you.'),
  own('introduction', 'Introduction', 'What it is and how it came out; an empty line begins a new paragraph.', {
    isLong: true,
  }),
  sculpt('maker', 'Maker of the sculpt', 'Who made the figure.'),
  sculpt('licence', 'Licence', 'Under which the maker gives it.'),
  sculpt('leave', 'Leave to show it', 'Who gave you leave, and when; "my own work" where it is.'),
  own('otherMachines', 'On other machines', 'What you know of other machines, in your own words.', { isLong: true }),
]

const kept = (): GuideAbout => {
  try {
    const text = localStorage.getItem(KEY)
    const value = text ? (JSON.parse(text) as GuideAbout) : null
    if (!value || typeof value !== 'object') return EMPTY_ABOUT
    // Only lines that are text are taken; what is missing is empty.
    return ABOUT_FIELDS.reduce((about, field) => {
      try {
        const found: unknown = field.read(value)
        return typeof found === 'string' ? field.write(about, found) : about
      } catch {
        return about
      }
    }, EMPTY_ABOUT)
  } catch {
    return EMPTY_ABOUT
  }
}

/** What is filled in so far. */
export const about = signal<GuideAbout>(kept())

/** Changes a field, and keeps it for the next visit. */
export const fillIn = (next: GuideAbout): void => {
  about.value = next
  try {
    localStorage.setItem(KEY, JSON.stringify(next))
  } catch {
    // Private browsing keeps nothing; the page works all the same.
  }
}
