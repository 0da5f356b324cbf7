import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { SAMPLE_ABOUT, sampleContent } from '../../tests/guide-sample.ts'
import { RECIPE_FIELDS } from '../recipe/index.ts'
import { CAUTIONS as TRIAL_CAUTIONS } from '../trials/index.ts'
import { toBase64 } from './base64.ts'
import { checkAbout, EMPTY_ABOUT, handOutHtml, publishHtml, readPublished } from './index.ts'
import { GUIDE_LIMITS } from './publish-types.ts'

const html = publishHtml(sampleContent())
const text = html.replace(/<script[\s\S]*?<\/script>/g, '').replace(/<style[\s\S]*?<\/style>/g, '')

test('a guide opens again: recipe and cards as they were', () => {
  const { recipe, printer, filament } = sampleContent()
  expect(readPublished(html)).toMatchObject({
    ok: true,
    value: { recipe, printer, filament, title: SAMPLE_ABOUT.title, version: '2', date: '2026-11-25' },
  })
})

test('nothing of a text becomes markup, and there is one block of data and no script that runs', () => {
  expect(html).not.toMatch(/<i>at<\/i>|<b>only|alert\(1\)<\/script>|<x>/)
  expect(html.match(/<script/g)).toHaveLength(1)
  expect(html).toContain('<script type="application/json" id="fettle-guide-data">')
  expect(html).toContain("default-src 'none'")
  expect(html).not.toMatch(/\son[a-z]+=|(src|href)="(?!data:|#)/)
})

test('every line of the recipe stands in it with value, unit and reason', () => {
  for (const field of Object.values(RECIPE_FIELDS)) {
    expect(text).toContain(`<th scope="row">${field.label.replace(/&/g, '&amp;')}</th>`)
    expect(text).toContain(
      field.meaning.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;').slice(0, 40),
    )
  }
  expect(text).toContain('>195 deg C</td>')
  expect(text).toContain('Strings went away here')
})

test('evidence with its certainty: outcomes at each level, and how far a share may be trusted', () => {
  expect(text).toContain('195 deg C: strings 0 of 4; 200 deg C: strings 1 of 4; 205 deg C: strings 3 of 4')
  // Wilson's interval of 4 of 4 at 95 %: from 4 / (4 + 1.96^2) on.
  expect(text).toMatch(/nozzle 195 deg C<\/th><td>4 of 4<\/td><td>51 % to 100 %/)
})

test('cautions of printing, finishing and giving away are all there, in guide and hand-out', () => {
  const hand = handOutHtml(sampleContent())
  for (const id of ['rules first', 'burns', 'moving parts', 'unattended', 'fumes', 'dust and blades', 'small parts']) {
    const caution = TRIAL_CAUTIONS.find((one) => one.id === id)
    expect(text).toContain(caution?.text)
    expect(hand).toContain(caution?.text)
  }
})

test('maker, licence, leave, scale of the photograph, and what is lost on another machine', () => {
  for (const words of [
    'The crew',
    'CC BY 4.0',
    'our own work',
    'Scale in view: steel rule, marks 1 mm apart',
    'Not kept: wall, 0.8 to 0.5 mm',
  ])
    expect(text).toContain(words)
})

test('the sculpt is in the page only when it is handed in', () => {
  expect(html).toContain('not in this page')
  const bytes = Uint8Array.from({ length: 100 }, (_, i) => i)
  const given = publishHtml(sampleContent({ sculpt: { name: 'keeper.stl', bytes } }))
  expect(given).toContain(`base64,${Buffer.from(bytes).toString('base64')}`)
})

test('the same content gives the same page, and the paper is set when asked for', () => {
  expect(publishHtml(sampleContent())).toBe(html)
  expect(html).not.toContain('size:A4')
  expect(publishHtml(sampleContent({ paper: 'A4' }))).toContain('@page{size:A4}')
  expect(handOutHtml(sampleContent({ paper: 'Letter' }))).toContain('@page{size:letter}')
})

describe('hostile pages', () => {
  const block = (data: unknown, attributes = 'type="application/json" id="fettle-guide-data"') =>
    `<script ${attributes}>${JSON.stringify(data).replaceAll('<', '\\u003c')}</script>`
  const data = JSON.parse(/<script[^>]*>([\s\S]*?)<\/script>/.exec(html)![1])
  test.each([
    ['no block', '<h1>hello</h1>', 'guide/no-guide'],
    ['two blocks', html + block(data), 'guide/no-guide'],
    ['a block that breaks off', html.slice(0, html.lastIndexOf('</script')), 'guide/no-guide'],
    ['no JSON', html.replace('{"form"', '{form'), 'guide/no-guide'],
    ['another form', block({ form: 'x', version: 1 }), 'guide/no-guide'],
    ['a newer version', block({ ...data, version: 9 }), 'guide/newer-version'],
    ['a recipe out of range', block({ ...data, recipe: { ...data.recipe, nozzleC: 4000 } }), 'recipe/out-of-range'],
    ['no cards', block({ ...data, printer: undefined }), 'printer-card/no-object'],
    [
      'a block without end',
      `${block(data).slice(0, 90)}${' '.repeat(GUIDE_LIMITS.dataCharacters)}</script>`,
      'guide/no-guide',
    ],
    ['null', block(null), 'guide/no-guide'],
  ])('%s: refused with a sentence', (_, page, code) => {
    const read = readPublished(page)
    expect(read).toMatchObject({ ok: false, issues: [{ code }] })
  })

  test('what is around the block plays no part, and control characters do not come through', () => {
    const page = `<script>throw 1</script><img src=x onerror=alert(1)>${block({ ...data, title: 'a\u202eb\u001b[31m', soleToEyeMm: 'x' })}`
    expect(readPublished(page)).toMatchObject({ ok: true, value: { title: 'a b [31m', soleToEyeMm: null } })
  })

  test('random texts never throw', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 200 }), fc.nat(html.length), (noise, at) => {
        expect(readPublished(noise).ok).toBe(false)
        readPublished(html.slice(0, at) + noise + html.slice(at))
      }),
      { numRuns: 200 },
    )
  })
})

test('the form about a guide names every fault', () => {
  expect(checkAbout(SAMPLE_ABOUT)).toMatchObject({ ok: true })
  const faults = checkAbout({ ...EMPTY_ABOUT, more: 1, reasons: { nozzle: 'hot' } })
  expect(faults.ok).toBe(false)
  const words = faults.ok ? '' : faults.issues.map(({ message }) => message).join('\n')
  for (const key of ['title', 'author', 'date', 'sculpt.maker', 'more']) expect(words).toContain(key)
  expect(checkAbout({ ...SAMPLE_ABOUT, reasons: { nozzle: 'hot' } })).toMatchObject({ ok: false })
  expect(checkAbout({ ...SAMPLE_ABOUT, version: 3 })).toMatchObject({
    ok: false,
    issues: [{ code: 'guide/newer-version' }],
  })
  for (const value of [null, 1, 'x', [], {}]) expect(checkAbout(value).ok).toBe(false)
})

test('base64 as Node writes it', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 100 }), (bytes) => {
      expect(toBase64(bytes)).toBe(Buffer.from(bytes).toString('base64'))
    }),
  )
})
