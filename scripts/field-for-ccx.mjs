// Writes the same cubes that the full field solves as an input of CalculiX (Debian package calculix-ccx), runs it, and compares.
//   node scripts/field-for-ccx.mjs [figure] [cell mm]        the keeper at 0.4 mm unless said otherwise
// Its C3D8I is the cube with incompatible modes. Every cell is solid plastic of one modulus on both sides: this is a check of the solver,
// not of the print. Results are recorded in docs/field-against-ccx.md.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'

const root = join(fileURLToPath(import.meta.url), '..', '..')
const [figure = 'keeper', cellText = '0.4'] = process.argv.slice(2)
const cellMm = Number(cellText)
const folder = join(root, '.cache', 'ccx')
mkdirSync(folder, { recursive: true })

await build({
  configFile: false,
  logLevel: 'error',
  ssr: { noExternal: [/^(?!manifold-3d)/], external: ['manifold-3d'] },
  build: {
    ssr: join(root, 'scripts', 'field-of-crew.ts'),
    outDir: folder,
    emptyOutDir: false,
    rollupOptions: { output: { entryFileNames: 'field-of-crew.mjs' } },
  },
})
const { fieldOfCrew } = await import(join(folder, 'field-of-crew.mjs'))
const { mesh, loads, force, solve, setUpS, modulusMPa, poissonRatio } = await fieldOfCrew(
  join(root, 'dist', 'crew', `${figure}.ply`),
  cellMm,
)

// One file: nodes, cubes, clamp, and one step a load.
const lines = ['*NODE, NSET=ALL']
const at = (n, a) => (mesh.origin[a] + mesh.cellMm * mesh.nodeAt[3 * n + a]).toFixed(6)
for (let n = 0; n < mesh.nNodes; n++) lines.push(`${n + 1}, ${at(n, 0)}, ${at(n, 1)}, ${at(n, 2)}`)
lines.push('*ELEMENT, TYPE=C3D8I, ELSET=BODY')
for (let c = 0; c < mesh.nCells; c++) {
  const [a, b, d, e] = [0, 1, 2, 3].map((k) => mesh.cellNode[4 * c + k] + 1)
  lines.push([c + 1, a, a + 1, b + 1, b, d, d + 1, e + 1, e].join(', '))
}
let lowest = Infinity
for (let n = 0; n < mesh.nNodes; n++) lowest = Math.min(lowest, mesh.nodeAt[3 * n + 2])
lines.push('*NSET, NSET=FOOT')
for (let n = 0; n < mesh.nNodes; n++) if (mesh.nodeAt[3 * n + 2] === lowest) lines.push(`${n + 1},`)
lines.push('*MATERIAL, NAME=PLASTIC', '*ELASTIC', `${modulusMPa}, ${poissonRatio}`)
lines.push('*SOLID SECTION, ELSET=BODY, MATERIAL=PLASTIC', '*BOUNDARY', 'FOOT, 1, 3')
for (const k of loads.keys()) {
  lines.push('*STEP', '*STATIC', '*CLOAD, OP=NEW')
  const f = force(k)
  for (let i = 0; i < f.length; i++) if (f[i] !== 0) lines.push(`${Math.floor(i / 3) + 1}, ${(i % 3) + 1}, ${f[i]}`)
  lines.push('*NODE PRINT, NSET=ALL', 'U')
  if (k === 0) lines.push('*EL PRINT, ELSET=BODY', 'S')
  lines.push('*END STEP')
}
const job = join(folder, `${figure}-${cellMm}`)
writeFileSync(`${job}.inp`, `${lines.join('\n')}\n`)

const started = performance.now()
const run = spawnSync('ccx', [job], { encoding: 'utf8', env: { ...process.env, OMP_NUM_THREADS: '1' } })
if (run.error || !existsSync(`${job}.dat`)) throw new Error('ccx is not there or gave no answer: install calculix-ccx')
const theirsS = (performance.now() - started) / 1000
const version = /Version ([\d.]+)/.exec(run.stdout)?.[1] ?? ''

// Blocks of displacements, one a step; stresses of the first in between, at eight points of each cube.
const told = readFileSync(`${job}.dat`, 'utf8')
const theirs = told
  .split(/displacements .*\n/)
  .slice(1)
  .map((step) => {
    const [block] = step.split(/stresses /)
    const u = new Float64Array(3 * mesh.nNodes)
    for (const line of block.split('\n')) {
      const words = line.trim().split(/\s+/).map(Number)
      if (words.length === 4 && words.every(Number.isFinite)) u.set(words.slice(1), 3 * (words[0] - 1))
    }
    return u
  })
const mean = new Float64Array(6 * mesh.nCells)
for (const line of told
  .split(/stresses .*\n/)[1]
  .split(/displacements /)[0]
  .split('\n')) {
  const words = line.trim().split(/\s+/).map(Number)
  if (words.length === 8) for (let a = 0; a < 6; a++) mean[6 * (words[0] - 1) + a] += words[2 + a] / 8
}
const { moves, stress, solveS, iterations } = await solve()
console.log(`${figure}, cells of ${cellMm} mm: ${mesh.nCells} cells, ${3 * mesh.nNodes} unknowns; CalculiX ${version}`)
console.log(
  `set-up ${setUpS.toFixed(2)} s, ${loads.length} loads together ${solveS.toFixed(2)} s (${iterations} iterations, 1e-8); ccx ${theirsS.toFixed(1)} s`,
)
loads.forEach(({ name }, k) => {
  let apart = 0
  let most = 0
  for (let i = 0; i < theirs[k].length; i++) {
    apart = Math.max(apart, Math.abs(theirs[k][i] - moves[k][i]))
    most = Math.max(most, Math.abs(theirs[k][i]))
  }
  console.log(
    `  ${name}: greatest movement ${most.toPrecision(7)} mm (ccx), ours differs nowhere by more than ${(apart / most).toExponential(1)} of it`,
  )
})
// CalculiX prints xx, yy, zz, xy, xz, yz; ours are xx, yy, zz, xy, yz, zx.
const THEIRS = [0, 1, 2, 3, 5, 4]
let apart = 0
let most = 0
for (let c = 0; c < mesh.nCells; c++)
  for (let a = 0; a < 6; a++) {
    apart = Math.max(apart, Math.abs(mean[6 * c + THEIRS[a]] - stress[6 * c + a]))
    most = Math.max(most, Math.abs(stress[6 * c + a]))
  }
console.log(
  `  stress in the cells under the first load: greatest ${most.toPrecision(6)} MPa, apart nowhere by more than ${(apart / most).toExponential(1)} of it`,
)
