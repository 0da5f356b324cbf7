// Build of everything that runs under Node: the command, its worker, the script that makes the demo crew.
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { defineConfig } from 'vite'

const root = join(import.meta.dirname, '..')

/** Entries by name of the file they become; those whose source is not there are left out. */
const entries = Object.entries({
  fettle: 'src/cli/main.ts',
  worker: 'src/cli/worker.ts',
  'build-crew': 'demo/build-crew.ts',
}).filter(([, source]) => existsSync(join(root, source)))

export default defineConfig({
  root,
  publicDir: false,
  logLevel: 'warn',
  build: {
    ssr: true,
    outDir: 'dist/node',
    target: 'node20',
    minify: false,
    sourcemap: true,
    rollupOptions: {
      input: Object.fromEntries(entries.map(([name, source]) => [name, join(root, source)])),
      output: { format: 'es', entryFileNames: '[name].mjs', chunkFileNames: 'parts/[name]-[hash].mjs' },
    },
  },
})
