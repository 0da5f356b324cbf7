export { createCodeReader, readCode } from './read-code.ts'
export * from './types.ts'
