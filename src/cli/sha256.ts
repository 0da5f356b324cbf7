// The hash by which files, settings and recipes are known again.

import { createHash } from 'node:crypto'

/** SHA-256 of bytes or of a text in UTF-8, hex. */
export const sha256 = (data: string | Uint8Array): string => createHash('sha256').update(data).digest('hex')
