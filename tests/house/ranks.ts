// The order of the rooms, lowest first. A room imports only rooms of lower lines; rooms of one line do not know each other.

/** Rooms by folder under src. */
export const RANKS: readonly (readonly string[])[] = [
  ['engine/kernel'],
  ['engine/mesh', 'recipe', 'pool', 'picture'],
  ['engine/figure'],
  ['engine/sections'],
  ['engine/thickness'],
  ['engine/beads'],
  ['engine/motioncode', 'engine/timing'],
  ['engine/melt', 'engine/heat'],
  ['engine/strength', 'engine/surface'],
  ['engine/findings'],
  ['engine/examine'],
  ['engine/stances'],
  ['trials', 'advise', 'tray'],
  ['guide', 'notebook'],
  ['cli', 'bench'],
]

/** Rooms that import nothing above kernel although their line would let them. */
export const ABOVE_KERNEL_ONLY: readonly string[] = ['pool', 'picture']

/** Doors beside index.ts: a program holds the pool or notebook of Node or that of browsers, and a worker only its own side. */
export const DOORS: Readonly<Record<string, readonly string[]>> = {
  pool: ['node.ts', 'browser.ts', 'polygon-kit-node.ts', 'polygon-kit-browser.ts', 'start-wasm.ts', 'worker-side.ts'],
  notebook: ['node.ts', 'browser.ts'],
}

/** Packages that the engine may import: pure computing, alike in browsers and Node. */
export const ENGINE_PACKAGES: readonly string[] = ['@gltf-transform/core', 'fflate', 'flatbush', 'saxes', 'valibot']

/** Longest file, lines; generated tables are excepted. */
export const MOST_LINES = 600
