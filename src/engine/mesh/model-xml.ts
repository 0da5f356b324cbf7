// One model part of a 3MF package: its XML turned into objects and build items.

import { SaxesParser } from 'saxes'
import type { Outcome } from '../kernel/index.ts'
import { GrowingDoubles, GrowingIndices } from './growing.ts'
import { failedAtLine, tooManyTriangles } from './raw-mesh.ts'
import type { ReadLimits } from './read-limits.ts'
import type { LengthUnit } from './types.ts'

/** Use of an object: in a build, or as part of another object. */
export interface ModelUse {
  readonly objectId: string
  /** Part of the package that holds the object, '' for this one. */
  readonly path: string
  /** Nine numbers of the matrix and three of the shift, for row vectors; null for none. */
  readonly transform: readonly number[] | null
  readonly line: number
}

export interface ModelObject {
  readonly type: string
  readonly name: string
  readonly vertices: GrowingDoubles
  readonly triangles: GrowingIndices
  readonly components: ModelUse[]
}

/** What a part holds so far. */
export interface ModelPart {
  unit: LengthUnit
  title: string
  readonly objects: Map<string, ModelObject>
  readonly items: ModelUse[]
}

const UNITS: Readonly<Record<string, LengthUnit>> = {
  micron: 'um',
  millimeter: 'mm',
  centimeter: 'cm',
  inch: 'inch',
  foot: 'foot',
  meter: 'm',
}

/** Extensions that change no shape, or that are followed here, by the last words of their namespaces. */
const HARMLESS = [/\/production\//, /\/material\//, /\/slice\//, /\/trianglesets\//]

/** Reads XML piece by piece. */
export interface ModelReader {
  readonly part: ModelPart
  /** Gives the next piece of text; returns an issue when the text is not as expected. */
  write(text: string): Outcome<never> | null
  close(): Outcome<never> | null
}

/** A reader for one part. */
export const modelReader = (limits: ReadLimits): ModelReader => {
  const part: ModelPart = { unit: 'mm', title: '', objects: new Map(), items: [] }
  let trouble: Outcome<never> | null = null
  let object: ModelObject | null = null
  let isTitle = false
  let nTriangles = 0
  let sawModel = false
  const parser = new SaxesParser({ position: true })
  const stop = (code: string, sentence: string): void => {
    trouble ??= failedAtLine(code, parser.line, sentence)
  }
  const number = (value: string | undefined, what: string): number => {
    const given = value === undefined || value.trim() === '' ? Number.NaN : Number(value)
    if (!Number.isFinite(given))
      stop('mesh/not-a-number', `expected a number for ${what}, found "${(value ?? '').slice(0, 24)}".`)
    return given
  }
  const use = (attributes: Record<string, string>): ModelUse => {
    let transform: number[] | null = null
    if (attributes.transform !== undefined) {
      transform = attributes.transform.trim().split(/\s+/).map(Number)
      if (transform.length !== 12 || !transform.every(Number.isFinite)) {
        stop(
          'mesh/bad-transform',
          `expected twelve numbers in "transform", found "${attributes.transform.slice(0, 40)}".`,
        )
        transform = null
      }
    }
    const pathKey = Object.keys(attributes).find((key) => key === 'path' || key.endsWith(':path'))
    return {
      objectId: attributes.objectid ?? '',
      path: pathKey ? attributes[pathKey].replace(/^\/+/, '') : '',
      transform,
      line: parser.line,
    }
  }
  parser.on('error', (error) =>
    stop('mesh/bad-xml', `the XML is not sound (${error.message.replace(/^\d+:\d+: /, '').replace(/\.$/, '')}).`),
  )
  parser.on('opentag', (tag) => {
    if (trouble) return
    const attributes = tag.attributes as Record<string, string>
    const name = tag.name.slice(tag.name.indexOf(':') + 1)
    if (!sawModel) {
      sawModel = true
      if (name !== 'model')
        return stop('mesh/no-model', `expected the element "model", found "${tag.name.slice(0, 24)}".`)
      const unit = attributes.unit ?? 'millimeter'
      if (!Object.hasOwn(UNITS, unit))
        return stop(
          'mesh/bad-unit',
          `expected one of ${Object.keys(UNITS).join(', ')} as unit, found "${unit.slice(0, 24)}".`,
        )
      part.unit = UNITS[unit]
      for (const prefix of (attributes.requiredextensions ?? '').split(/\s+/).filter(Boolean)) {
        const space = attributes[`xmlns:${prefix}`] ?? prefix
        if (!HARMLESS.some((pattern) => pattern.test(space))) {
          return stop(
            'mesh/unsupported-extension',
            `the file needs the extension "${space.slice(0, 100)}", which is not read; save it as a plain mesh.`,
          )
        }
      }
    } else if (name === 'vertex') {
      if (!object) return stop('mesh/bad-xml', 'a vertex stands outside of any object.')
      object.vertices.push(number(attributes.x, 'x'))
      object.vertices.push(number(attributes.y, 'y'))
      object.vertices.push(number(attributes.z, 'z'))
    } else if (name === 'triangle') {
      if (!object) return stop('mesh/bad-xml', 'a triangle stands outside of any object.')
      for (const key of ['v1', 'v2', 'v3']) {
        const v = number(attributes[key], key)
        if (v < 0 || !Number.isInteger(v) || v >= object.vertices.length / 3) {
          stop(
            'mesh/bad-index',
            `expected a vertex number from 0 to ${object.vertices.length / 3 - 1} for ${key}, found "${(attributes[key] ?? '').slice(0, 24)}".`,
          )
        }
        object.triangles.push(v)
      }
      if (++nTriangles > limits.maxTriangles) trouble ??= tooManyTriangles(limits, { line: parser.line })
    } else if (name === 'object') {
      object = {
        type: attributes.type ?? 'model',
        name: (attributes.name ?? '').slice(0, 80),
        vertices: new GrowingDoubles(),
        triangles: new GrowingIndices(),
        components: [],
      }
      part.objects.set(attributes.id ?? '', object)
    } else if (name === 'component') {
      object?.components.push(use(attributes))
    } else if (name === 'item') {
      part.items.push(use(attributes))
    } else if (name === 'beamlattice') {
      stop(
        'mesh/unsupported-extension',
        'the object is a lattice of beams, which is not read; save it as a plain mesh.',
      )
    }
    isTitle = name === 'metadata' && attributes.name === 'Title'
  })
  parser.on('text', (text) => {
    if (isTitle) part.title = (part.title + text).trim().slice(0, 80)
  })
  parser.on('closetag', (tag) => {
    isTitle = false
    if (tag.name.slice(tag.name.indexOf(':') + 1) === 'object') object = null
  })
  return {
    part,
    write: (text) => {
      if (!trouble) parser.write(text)
      return trouble
    },
    close: () => {
      if (!trouble) parser.close()
      if (!trouble && !sawModel) stop('mesh/no-model', 'expected the element "model".')
      return trouble
    },
  }
}
