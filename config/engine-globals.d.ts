// The few standard globals that the engine may use beside the language itself: they exist alike in browsers, workers and Node.
declare class TextDecoder {
  constructor(label?: string, options?: { fatal?: boolean })
  decode(input?: ArrayBufferView | ArrayBuffer, options?: { stream?: boolean }): string
}
declare class TextEncoder {
  encode(input?: string): Uint8Array
}
interface AbortSignal {
  readonly aborted: boolean
  readonly reason: unknown
  throwIfAborted(): void
  addEventListener(type: 'abort', listener: () => void, options?: { once?: boolean }): void
  removeEventListener(type: 'abort', listener: () => void): void
}
