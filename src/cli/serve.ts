// A small server of static files on this machine, for the bench: right types, no way out of its folder, a strict content policy.

import { createReadStream } from 'node:fs'
import { realpath, stat } from 'node:fs/promises'
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { extname, join, sep } from 'node:path'

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.mjs': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.webmanifest': 'application/manifest+json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.wasm': 'application/wasm',
  '.stl': 'model/stl',
  '.glb': 'model/gltf-binary',
  '.3mf': 'model/3mf',
  '.txt': 'text/plain; charset=utf-8',
}

/** Nothing from elsewhere, no inline script; WebAssembly may be compiled, a style attribute may be set. */
export const CONTENT_POLICY = [
  "default-src 'self'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' data: blob:",
  "worker-src 'self' blob:",
  "connect-src 'self'",
  "object-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ')

/** The file that an address means, inside `root`, or null. Links that lead out of the folder count as not there. */
export const fileFor = async (root: string, address: string): Promise<string | null> => {
  let path: string
  try {
    path = decodeURIComponent(address.split(/[?#]/)[0])
  } catch {
    return null
  }
  // A backslash or a zero byte has no place in the name of a file of ours.
  if (!path.startsWith('/') || /[\\\0]/.test(path) || path.split('/').includes('..')) return null
  try {
    const real = await realpath(join(root, path.endsWith('/') ? `${path}index.html` : path))
    const top = await realpath(root)
    return real.startsWith(top + sep) && (await stat(real)).isFile() ? real : null
  } catch {
    return null
  }
}

const answer = async (root: string, request: IncomingMessage, response: ServerResponse): Promise<void> => {
  response.setHeader('Content-Security-Policy', CONTENT_POLICY)
  response.setHeader('X-Content-Type-Options', 'nosniff')
  response.setHeader('Referrer-Policy', 'no-referrer')
  response.setHeader('Cache-Control', 'no-cache')
  if (request.method !== 'GET' && request.method !== 'HEAD') {
    response.writeHead(405, { Allow: 'GET, HEAD' }).end()
    return
  }
  const file = await fileFor(root, request.url ?? '/')
  if (file === null) {
    response.writeHead(404, { 'Content-Type': TYPES['.txt'] }).end('not here\n')
    return
  }
  const { size, mtimeMs } = await stat(file)
  const tag = `"${size.toString(36)}-${Math.round(mtimeMs).toString(36)}"`
  response.setHeader('ETag', tag)
  if (request.headers['if-none-match'] === tag) {
    response.writeHead(304).end()
    return
  }
  response.writeHead(200, {
    'Content-Type': TYPES[extname(file).toLowerCase()] ?? 'application/octet-stream',
    'Content-Length': size,
  })
  if (request.method === 'HEAD') response.end()
  else
    createReadStream(file)
      .on('error', () => response.destroy())
      .pipe(response)
}

/** A running server and its address. */
export interface Served {
  readonly address: string
  readonly close: () => Promise<void>
}

const listen = (server: Server, port: number): Promise<void> =>
  new Promise((resolve, reject) => {
    server.once('error', reject)
    server.listen(port, '127.0.0.1', () => resolve())
  })

/**
 * Serves a folder on 127.0.0.1.
 * @param port 0 for any free port
 * @throws when the port is taken
 */
export const serveFolder = async (root: string, port = 0): Promise<Served> => {
  const server = createServer((request, response) => {
    answer(root, request, response).catch(() => response.destroy())
  })
  await listen(server, port)
  return {
    address: `http://localhost:${(server.address() as AddressInfo).port}/`,
    close: () =>
      new Promise((resolve) => {
        server.closeAllConnections()
        server.close(() => resolve())
      }),
  }
}
