// 3MF: a zip with one or more XML model parts. Source: 3MF Core Specification 1.3 (units, components, transforms, build)
// and the Production Extension's path attribute.

import { breathe, failed, good, type Issue, type Outcome } from '../kernel/index.ts'
import { GrowingDoubles, GrowingIndices } from './growing.ts'
import { type ModelPart, type ModelUse, modelReader } from './model-xml.ts'
import { type RawMesh, type Reader, tooManyTriangles } from './raw-mesh.ts'
import type { ReadLimits } from './read-limits.ts'
import { UNIT_MM } from './units.ts'
import { listZip, type UnzipMeter, unzipEntry } from './unzip-entries.ts'

const ROOT_KIND = /\/3dmodel$/
/** Uses of objects that one build may come to: parts within parts double at every level. */
const MOST_USES = 100_000
const MOST_DEPTH = 64

/** Reads 3MF. Supports that the file carries are left out; so are colours and materials. */
export const readThreeMf: Reader = async (bytes, limits, task) => {
  const listed = listZip(bytes)
  if (!listed.ok) return listed
  const meter: UnzipMeter = { unpackedBytes: 0 }
  const parts = new Map<string, ModelPart>()
  let root = ''
  const relations = listed.value.find(({ path }) => path.toLowerCase() === '_rels/.rels')
  if (relations) {
    let text = ''
    const decoder = new TextDecoder()
    const trouble = await unzipEntry(bytes, relations, limits, meter, (piece, isLast) => {
      text += decoder.decode(piece, { stream: !isLast })
      return text.length > 1 << 20 ? failed('mesh/bad-xml', 'The list of relations in the 3MF file is too long.') : null
    })
    if (trouble) return trouble
    for (const [tag] of text.matchAll(/<[^<>]*Relationship\s[^<>]*>/g)) {
      const type = /\sType\s*=\s*["']([^"']*)["']/.exec(tag)?.[1] ?? ''
      if (ROOT_KIND.test(type)) root = (/\sTarget\s*=\s*["']([^"']*)["']/.exec(tag)?.[1] ?? '').replace(/^\/+/, '')
    }
  }
  for (const entry of listed.value) {
    if (!/\.model$/i.test(entry.path) && entry.path !== root) continue
    const reader = modelReader(limits)
    const decoder = new TextDecoder()
    const trouble =
      (await unzipEntry(
        bytes,
        entry,
        limits,
        meter,
        (piece, isLast) => reader.write(decoder.decode(piece, { stream: !isLast })),
        task,
      )) ?? reader.close()
    if (trouble) return named(trouble, entry.path)
    parts.set(entry.path, reader.part)
  }
  if (parts.size === 0)
    return failed('mesh/no-model', 'The zip holds no 3MF model; expected an entry that ends with ".model".')
  if (!parts.has(root)) root = parts.keys().next().value as string
  await breathe(task)
  return assemble(parts, root, limits)
}

const named = (trouble: Outcome<never>, path: string): Outcome<never> =>
  trouble.ok
    ? trouble
    : {
        ok: false,
        issues: trouble.issues.map((issue) =>
          issue.place?.line ? { ...issue, message: `In ${path}: ${issue.message}` } : issue,
        ),
      }

const assemble = (parts: Map<string, ModelPart>, rootPath: string, limits: ReadLimits): Outcome<RawMesh> => {
  const root = parts.get(rootPath) as ModelPart
  const notes: Issue[] = []
  const positions = new GrowingDoubles()
  const triangles = new GrowingIndices()
  let nUses = 0
  let trouble: Outcome<never> | null = null
  /** Adds an object under a map given as four columns of three: x' = m0 x + m3 y + m6 z + m9. */
  const add = (part: ModelPart, use: ModelUse, map: readonly number[], depth: number): void => {
    if (trouble) return
    const home = use.path ? parts.get(use.path) : part
    const object = home?.objects.get(use.objectId)
    if (!home || !object) {
      trouble = failed(
        'mesh/no-object',
        `Line ${use.line}: object "${use.objectId.slice(0, 24)}" is used but not in the file.`,
        { line: use.line },
      )
      return
    }
    if (++nUses > MOST_USES || depth > MOST_DEPTH) {
      trouble = failed('mesh/deep-model', 'The objects of the 3MF file are nested too deeply or used in each other.')
      return
    }
    if (object.type === 'support') {
      if (!notes.some(({ code }) => code === 'mesh/support-left-out')) {
        notes.push({ code: 'mesh/support-left-out', message: 'Objects that the file marks as support were left out.' })
      }
      return
    }
    const here = use.transform ? combined(use.transform, map) : map
    // Parts may state units of their own.
    const share = UNIT_MM[home.unit] / UNIT_MM[root.unit]
    const vertices = object.vertices.take()
    const corners = object.triangles.take()
    if (triangles.length + corners.length > 3 * limits.maxTriangles) {
      trouble = tooManyTriangles(limits)
      return
    }
    const first = positions.length / 3
    for (let v = 0; v < vertices.length; v += 3) {
      const [x, y, z] = [vertices[v] * share, vertices[v + 1] * share, vertices[v + 2] * share]
      for (let k = 0; k < 3; k++) positions.push(here[k] * x + here[3 + k] * y + here[6 + k] * z + here[9 + k])
    }
    const [a, b, c, d, e, f, g, h, i] = here
    const isMirror = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g) < 0
    for (let t = 0; t < corners.length; t += 3) {
      triangles.push(first + corners[t])
      triangles.push(first + corners[t + (isMirror ? 2 : 1)])
      triangles.push(first + corners[t + (isMirror ? 1 : 2)])
    }
    for (const component of object.components) add(home, component, here, depth + 1)
  }
  const same = [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0]
  let items: readonly ModelUse[] = root.items
  if (items.length === 0) {
    notes.push({ code: 'mesh/no-build', message: 'The 3MF file builds nothing; all of its meshes were read instead.' })
    items = [...root.objects]
      .filter(([, { components }]) => components.length === 0)
      .map(([objectId]) => ({ objectId, path: '', transform: null, line: 1 }))
  }
  for (const item of items) add(root, item, same, 0)
  if (trouble) return trouble
  const held = positions.take()
  if (triangles.length === 0 || !held.every(Number.isFinite))
    return failed('mesh/no-faces', 'The 3MF file holds no triangles that could be read.')
  const name = root.title || root.objects.get(items[0].objectId)?.name || ''
  return good({ positions: held, triangles: triangles.take(), unit: root.unit, name }, notes)
}

/** First the inner map, then the outer one. */
const combined = (inner: readonly number[], outer: readonly number[]): number[] => {
  const map: number[] = []
  for (let row = 0; row < 4; row++) {
    for (let k = 0; k < 3; k++) {
      let sum = row === 3 ? outer[9 + k] : 0
      for (let j = 0; j < 3; j++) sum += inner[3 * row + j] * outer[3 * j + k]
      map.push(sum)
    }
  }
  return map
}
