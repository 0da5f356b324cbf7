// The verb "serve" and the server of static files: types, policy, no way out of the folder.

import { mkdirSync, symlinkSync } from 'node:fs'
import { request } from 'node:http'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { CONTENT_POLICY, fileFor, serveFolder } from '../../src/cli/serve.ts'
import { fettle, scratchFolder, startFettle, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const root = join(folder, 'site')
mkdirSync(join(root, 'parts'), { recursive: true })
writeBytes(folder, 'secret.txt', 'not for you')
writeBytes(root, 'index.html', '<!doctype html><p>bench')
writeBytes(root, 'parts/engine.wasm', new Uint8Array([0, 97, 115, 109]))
writeBytes(root, 'parts/a b.js', 'export {}')
symlinkSync(join(folder, 'secret.txt'), join(root, 'link.txt'))

/** A raw request: fetch would tidy the path before it is sent. */
const ask = (port: string, path: string, method = 'GET') =>
  new Promise<{ status: number; headers: Record<string, unknown>; body: string }>((resolve, reject) => {
    const sent = request({ host: '127.0.0.1', port, path, method }, (response) => {
      let body = ''
      response.on('data', (part) => {
        body += part
      })
      response.on('end', () => resolve({ status: response.statusCode ?? 0, headers: response.headers, body }))
    })
    sent.on('error', reject).end()
  })

test('files come with their type, the policy and a tag', async () => {
  const served = await serveFolder(root)
  try {
    const { port } = new URL(served.address)
    const page = await ask(port, '/?figure=keeper')
    expect([page.status, page.body]).toEqual([200, '<!doctype html><p>bench'])
    expect(page.headers['content-type']).toBe('text/html; charset=utf-8')
    expect(page.headers['content-security-policy']).toBe(CONTENT_POLICY)
    expect(page.headers['x-content-type-options']).toBe('nosniff')
    expect((await ask(port, '/parts/engine.wasm')).headers['content-type']).toBe('application/wasm')
    expect((await ask(port, '/parts/a%20b.js')).headers['content-type']).toBe('text/javascript; charset=utf-8')
    const head = await ask(port, '/', 'HEAD')
    expect([head.status, head.body, head.headers['content-length']]).toEqual([200, '', '23'])
    expect((await ask(port, '/', 'POST')).status).toBe(405)
    const again = await fetch(served.address, { headers: { 'If-None-Match': String(page.headers.etag) } })
    expect(again.status).toBe(304)
  } finally {
    await served.close()
  }
})

test.each([
  '/../secret.txt',
  '/..%2fsecret.txt',
  '/%2e%2e/secret.txt',
  '/parts/..%5c..%5csecret.txt',
  '/link.txt',
  '/parts',
  '/missing.js',
  '/%00',
  '/%zz',
  'secret.txt',
])('%s is not there', async (path) => {
  expect(await fileFor(root, path)).toBeNull()
})

test('the server answers 404 to such a path sent raw', async () => {
  const served = await serveFolder(root)
  try {
    const answer = await ask(new URL(served.address).port, '/..%2fsecret.txt')
    expect([answer.status, answer.body]).toEqual([404, 'not here\n'])
  } finally {
    await served.close()
  }
})

test('the policy lets nothing in from elsewhere', () => {
  expect(CONTENT_POLICY).toContain("default-src 'self'")
  expect(CONTENT_POLICY).toContain("script-src 'self' 'wasm-unsafe-eval'")
  expect(CONTENT_POLICY).not.toMatch(/https?:|\*/)
})

test('the verb prints its address, serves the bench and ends on Ctrl-C', async () => {
  const child = startFettle(['serve'], folder)
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve))
  const line = await new Promise<string>((resolve) => child.stdout.setEncoding('utf8').once('data', resolve))
  const address = /http:\/\/localhost:\d+\//.exec(line)?.[0] ?? ''
  const answer = await fetch(address)
  expect(answer.status).toBe(200)
  expect(await answer.text()).toContain('<')
  child.kill('SIGINT')
  expect(await ended).toBe(130)
})

test('a port that is no port is wrong use', async () => {
  expect((await fettle(['serve', '--port', 'door'])).code).toBe(2)
})
