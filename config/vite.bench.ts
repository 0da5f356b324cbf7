// Builds the bench: static files that can lie in any folder of any web server, with a service worker that keeps them.

import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { defineConfig, type Plugin } from 'vite'

const ROOT = fileURLToPath(new URL('../src/bench', import.meta.url))

/** Writes the service worker with the list of all built files and a version that changes with any of them. */
const keepAllFiles = (): Plugin => ({
  name: 'keep-all-files',
  generateBundle: {
    order: 'post',
    handler(_, bundle) {
      const hash = createHash('sha256')
      const files = ['./']
      for (const name of Object.keys(bundle).sort()) {
        if (name === 'index.html') continue
        const part = bundle[name]
        hash.update(name).update(part.type === 'chunk' ? part.code : part.source)
        files.push(name)
      }
      const page = bundle['index.html']
      if (page?.type === 'asset') hash.update(page.source)
      const beside = join(ROOT, 'public')
      for (const name of readdirSync(beside).sort()) {
        hash.update(readFileSync(join(beside, name)))
        files.push(name)
      }
      const text = readFileSync(join(ROOT, 'service-worker.js'), 'utf8')
      hash.update(text)
      this.emitFile({
        type: 'asset',
        fileName: 'service-worker.js',
        source: text
          .replace('__VERSION__', hash.digest('hex').slice(0, 16))
          .replace("['__FILES__']", JSON.stringify(files)),
      })
    },
  },
})

export default defineConfig({
  root: ROOT,
  base: './',
  publicDir: 'public',
  plugins: [keepAllFiles()],
  worker: { format: 'es' },
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    outDir: '../../dist/bench',
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0,
    // The engine's rooms do nothing on loading, so the page carries only the tables it shows; the rooms run in the worker.
    rollupOptions: { treeshake: { moduleSideEffects: [{ test: /\/src\/engine\//, sideEffects: false }] } },
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 900,
  },
})
