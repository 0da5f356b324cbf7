// A small reader of VTK XML unstructured grids with inline base64 data, for tests: written from the published format alone.

const READERS: Readonly<Record<string, { readonly size: number; readonly read: (b: Buffer, at: number) => number }>> = {
  Float32: { size: 4, read: (b, at) => b.readFloatLE(at) },
  Int32: { size: 4, read: (b, at) => b.readInt32LE(at) },
  UInt8: { size: 1, read: (b, at) => b.readUInt8(at) },
}

export interface VtuArray {
  readonly section: string
  readonly name: string
  readonly components: number
  readonly values: readonly number[]
}

export interface VtuFile {
  readonly nPoints: number
  readonly nCells: number
  readonly arrays: readonly VtuArray[]
  /** The one array whose name begins so. */
  readonly array: (name: string) => VtuArray
}

/** @throws when the file is not what the format says */
export const readVtu = (bytes: Uint8Array): VtuFile => {
  const text = Buffer.from(bytes).toString('latin1')
  const head = /<VTKFile type="UnstructuredGrid" version="1\.0" byte_order="LittleEndian" header_type="UInt32">/.exec(
    text,
  )
  const piece = /<Piece NumberOfPoints="(\d+)" NumberOfCells="(\d+)">/.exec(text)
  if (!head || !piece || !text.trimEnd().endsWith('</VTKFile>')) throw new Error('not a VTK XML unstructured grid')
  const arrays: VtuArray[] = []
  for (const section of ['PointData', 'CellData', 'Points', 'Cells']) {
    const inside = text.slice(text.indexOf(`<${section}>`), text.indexOf(`</${section}>`))
    const pattern =
      /<DataArray type="(\w+)" Name="([^"]+)"( NumberOfComponents="(\d+)")? format="binary">([^<]*)<\/DataArray>/g
    for (const [, type, name, , components, data] of inside.matchAll(pattern)) {
      const body = Buffer.from(data, 'base64')
      const { size, read } = READERS[type]
      if (body.readUInt32LE(0) !== body.length - 4) throw new Error(`${name}: its length is not what its header says`)
      const values = Array.from({ length: (body.length - 4) / size }, (_, i) => read(body, 4 + i * size))
      arrays.push({ section, name, components: Number(components ?? 1), values })
    }
  }
  return {
    nPoints: Number(piece[1]),
    nCells: Number(piece[2]),
    arrays,
    array: (name) => {
      const found = arrays.filter((a) => a.name.startsWith(name))
      if (found.length !== 1) throw new Error(`${found.length} arrays begin with "${name}"`)
      return found[0]
    },
  }
}
