// A small static file server for the browser tests: one folder, one port of this machine.

import { createReadStream, statSync } from 'node:fs'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { extname, join, normalize } from 'node:path'

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.wasm': 'application/wasm',
  '.webmanifest': 'application/manifest+json',
  '.ply': 'application/octet-stream',
}

export interface Served {
  readonly address: string
  readonly close: () => Promise<void>
}

/** Serves a folder on a free port until it is closed. */
export const serveFolder = async (folder: string): Promise<Served> => {
  const server = createServer((request, response) => {
    const path = decodeURIComponent(new URL(request.url ?? '/', 'http://localhost').pathname)
    const file = join(folder, normalize(path.endsWith('/') ? `${path}index.html` : path))
    const size = file.startsWith(folder) ? statSync(file, { throwIfNoEntry: false }) : undefined
    if (!size?.isFile()) {
      response.writeHead(404).end('not here')
      return
    }
    response.writeHead(200, {
      'content-type': TYPES[extname(file)] ?? 'application/octet-stream',
      'content-length': size.size,
      'cache-control': 'no-cache',
    })
    createReadStream(file).pipe(response)
  })
  await new Promise<void>((resolve) => {
    server.listen(0, '127.0.0.1', resolve)
  })
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    close: () =>
      new Promise((resolve) => {
        server.closeAllConnections()
        server.close(() => resolve())
      }),
  }
}
