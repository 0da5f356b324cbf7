// Starts WebAssembly programs that the engine has put together, in browsers, workers and Node alike.

import type { StartWasm, WasmExports } from '../engine/kernel/index.ts'

/** Null where the program cannot be started: no vectors in this browser, or not enough memory. */
export const startWasm: StartWasm = async (program) => {
  try {
    const { instance } = await WebAssembly.instantiate(program as BufferSource)
    return instance.exports as unknown as WasmExports
  } catch {
    return null
  }
}
