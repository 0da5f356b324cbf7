// Build of the benchmarks: every benchmarks/*.bench.ts becomes a module that scripts/bench.mjs imports.
import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { defineConfig } from 'vite'

const root = join(import.meta.dirname, '..')
const files = readdirSync(join(root, 'benchmarks')).filter((file) => file.endsWith('.bench.ts'))

export default defineConfig({
  root,
  publicDir: false,
  logLevel: 'warn',
  build: {
    ssr: true,
    outDir: 'dist/benchmarks',
    target: 'node20',
    minify: false,
    rollupOptions: {
      input: Object.fromEntries(files.map((file) => [file.replace(/\.ts$/, ''), join(root, 'benchmarks', file)])),
      output: { format: 'es', entryFileNames: '[name].mjs', chunkFileNames: 'parts/[name]-[hash].mjs' },
    },
  },
})
