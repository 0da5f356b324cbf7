// What a reader may cost, so that a broken or hostile file cannot take the machine down.

/** Limits of reading. */
export interface ReadLimits {
  /** Largest file, bytes. 1 GiB: twenty million triangles as binary STL. */
  readonly maxBytes: number
  /** Most triangles. Twenty million prepare in about 6 GB; figures have at most a few million. */
  readonly maxTriangles: number
  /** Most bytes out for one byte in when unzipping. Mesh XML packs 5 to 20 times; 200 leaves room for plain shapes. */
  readonly maxUnzipRatio: number
  /** Most bytes that one zip may unpack to. */
  readonly maxUnzippedBytes: number
}

/** Limits that hold unless others are given. */
export const READ_LIMITS: ReadLimits = Object.freeze({
  maxBytes: 2 ** 30,
  maxTriangles: 20_000_000,
  maxUnzipRatio: 200,
  maxUnzippedBytes: 2 ** 30,
})
