// Tells a mesh file's format by its content; the name's ending is not looked at.

import type { MeshFormat } from './types.ts'

const OBJ_LINE = /^(v|vn|vt|vp|f|l|p|o|g|s|usemtl|mtllib)(\s|$)/

/** The format, null when the bytes look like none that is read. */
export const tellFormat = (bytes: Uint8Array): MeshFormat | null => {
  if (bytes.length < 4) return null
  const start = new TextDecoder().decode(bytes.subarray(0, 4096)).replace(/^\uFEFF/, '')
  if (start.startsWith('glTF')) return 'glb'
  if (start.startsWith('PK\u0003\u0004')) return '3mf'
  if (/^ply[\r\n]/.test(start)) return 'ply'
  if (bytes.length >= 84) {
    // A binary STL says how long it is, which settles the matter even when its header begins with "solid".
    const stated = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(80, true)
    if (bytes.length === 84 + 50 * stated) return 'stl-binary'
  }
  if (isText(bytes)) {
    const lines = start
      .split(/\r\n|\r|\n/)
      .map((line) => line.trim())
      .filter((line) => line !== '' && !line.startsWith('#'))
    const first = lines[0] ?? ''
    if (first.startsWith('{')) return 'gltf'
    if (/^(ST)?C?N?4?n?OFF(\s|$)/.test(first)) return 'off'
    if (/^solid(\s|$)/i.test(first) || /^facet\s/i.test(first)) return 'stl-text'
    if (lines.some((line) => OBJ_LINE.test(line))) return 'obj'
    return null
  }
  return bytes.length >= 84 ? 'stl-binary' : null
}

/** True when the first bytes hold no control characters except those of text. */
const isText = (bytes: Uint8Array): boolean => {
  const n = Math.min(bytes.length, 1024)
  for (let i = 0; i < n; i++) {
    const c = bytes[i]
    if (c < 32 && !(c >= 9 && c <= 13)) return false
  }
  return true
}
