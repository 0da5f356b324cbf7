// What is known of one spool, one line each. Starting values are for plain PLA.

import { type FieldTable, fieldsOf, type ValuesOf } from './field.ts'

const about = fieldsOf('about')
const spool = fieldsOf('spool')
const heat = fieldsOf('heat')
const melt = fieldsOf('melt and healing')
const strength = fieldsOf('strength')

const BARS = 'hobby rig, 3 printed bars, 0 deg, solid, ISO 527-2 1BA, 5 mm/min'
const SEAM = 'tension and finite-element fit of sectioned bars, doi 10.1089/3dp.2020.0109 (abstract)'
const MICRO = 'one-bead specimens, Allum et al., Procedia Struct. Integrity 28:591-601 (2020)'

export const FILAMENT_FIELDS = {
  name: about.text('name', 'plain PLA', 'Name to show for this spool.'),
  plastic: about.choice(
    'plastic',
    ['PLA', 'PETG', 'ABS', 'TPU', 'other'],
    'PLA',
    'Kind of plastic; no value is taken from it, every value stands on this card.',
  ),

  diameterMm: spool.number('diameter', 'mm', 1.75, [1, 3.5], 'Diameter the machine is told.'),
  diameterToleranceMm: spool.number(
    'diameter tolerance',
    'mm',
    0.05,
    [0, 0.2],
    'Greatest difference of the true diameter that the maker accepts; not a spread.',
    'acceptance limits quoted by makers: 0.02 to 0.05',
  ),
  densityGPerCm3: spool.number(
    'density',
    'g/cm3',
    1.24,
    [0.7, 3],
    'Density of the solid plastic.',
    'from memory; a printed sheet by ASTM D792 gives 1.264',
  ),
  meltDensityGPerCm3: spool.number(
    'melt density',
    'g/cm3',
    1.08,
    [0.6, 3],
    'Density of the melt.',
    'from memory: resin sheet at 230 deg C',
  ),
  mostGearPasses: spool.count(
    'most gear passes',
    10,
    [1, 100],
    'Times one piece of filament may pass the feed gear before it counts as chewed.',
  ),
  nozzleFromC: spool.number('coolest nozzle', 'deg C', 185, [150, 320], 'Coolest nozzle the spool is printed with.'),
  nozzleToC: spool.number('hottest nozzle', 'deg C', 205, [150, 320], 'Hottest nozzle the spool is printed with.'),

  glassTransitionC: heat.number(
    'glass transition',
    'deg C',
    60,
    [-60, 250],
    'Middle of the glass transition.',
    'MakeItFrom, Polylactic Acid; grades differ from 45 to 65',
  ),
  softeningFromC: heat.number(
    'softening from',
    'deg C',
    53,
    [-60, 250],
    'Temperature at which thin parts start to give under load.',
    'heat deflection at 0.455 MPa, ASTM D648, printed sheet',
  ),
  softeningToC: heat.number(
    'softening to',
    'deg C',
    65,
    [-60, 250],
    'Temperature at which the plastic is soft throughout.',
    'upper end of the glass transition of PLA grades, NETZSCH polymer property pages',
  ),
  heatCapacityJPerKgK: heat.series(
    'heat capacity',
    'J/(kg K)',
    [
      [25, 1101],
      [60, 1279],
      [210, 2043],
    ],
    [100, 10000],
    'Specific heat over temperature, straight between the points.',
    '974 + 5.09 T, OOFEM test tests/am/treefrog.in.tm',
  ),
  conductivityWPerMK: heat.number(
    'conductivity',
    'W/(m K)',
    0.13,
    [0.02, 5],
    'Heat conductivity.',
    'MakeItFrom, Polylactic Acid',
  ),
  emissivityShare: heat.number(
    'emissivity',
    'share, 0-1',
    0.92,
    [0.05, 1],
    'Emissivity of the surface in long-wave infrared.',
    'from memory: handbook range 0.90-0.95 for opaque plastics',
  ),
  expansionPpmPerK: heat.number(
    'expansion',
    'ppm/K',
    68,
    [1, 500],
    'Linear expansion below the glass transition.',
    'from memory: resin sheet; a printed sheet by ASTM E831 gives 101',
  ),

  reptationS: melt.number(
    'reptation time',
    's',
    0.02,
    [1e-6, 1000],
    'Time in which a joint heals in full at the reference temperature.',
    'between plateau modulus (0.007) and Cross model (0.035) at 210 deg C',
  ),
  reptationAtC: melt.number(
    'reptation reference',
    'deg C',
    210,
    [50, 350],
    'Temperature of the reptation time.',
    'belongs to the reptation time',
  ),
  shiftC1: melt.number(
    'shift constant C1',
    '',
    3.24,
    [0.1, 50],
    'First constant of the time-temperature shift (log10).',
    'from memory: Cooper-White & Mackay, J. Polym. Sci. B 37:1803-1814 (1999)',
  ),
  shiftC2K: melt.number(
    'shift constant C2',
    'K',
    164.9,
    [1, 1000],
    'Second constant of the time-temperature shift.',
    'from memory: Cooper-White & Mackay, J. Polym. Sci. B 37:1803-1814 (1999)',
  ),
  shiftAtC: melt.number(
    'shift reference',
    'deg C',
    200,
    [0, 350],
    'Temperature the shift constants belong to.',
    'from memory: Cooper-White & Mackay, J. Polym. Sci. B 37:1803-1814 (1999)',
  ),
  zeroShearViscosityAtC: melt.number(
    'viscosity reference',
    'deg C',
    210,
    [50, 350],
    'Temperature of the viscosity below.',
    'belongs to the viscosity',
  ),
  zeroShearViscosityPaS: melt.number(
    'viscosity at rest',
    'Pa s',
    1945,
    [1, 1e6],
    'Viscosity of the melt at no shear.',
    'table 1 of Materials 16(24):7664 (2023), Carreau-Yasuda',
  ),

  alongModulusMPa: strength.number('modulus along beads', 'MPa', 2680, [1, 50000], 'Stiffness along the beads.', BARS),
  acrossModulusMPa: strength.number(
    'modulus across layers',
    'MPa',
    2400,
    [1, 50000],
    'Stiffness across the layers.',
    SEAM,
  ),
  poissonRatio: strength.number('Poisson ratio', '', 0.36, [0, 0.499], 'Sideways shrink over stretch.', 'from memory'),
  alongStrengthMPa: strength.number(
    'strength along beads',
    'MPa',
    47.4,
    [0.5, 500],
    'Tensile strength along the beads.',
    BARS,
  ),
  acrossStrengthMPa: strength.number(
    'strength across layers',
    'MPa',
    22.8,
    [0.1, 500],
    'Tensile strength across well bonded layers.',
    SEAM,
  ),
  alongBreakStrain: strength.number(
    'strain at break along beads',
    '',
    0.044,
    [0.001, 20],
    'Stretch at break along the beads.',
    MICRO,
  ),
  acrossBreakStrain: strength.number(
    'strain at break across layers',
    '',
    0.021,
    [0.001, 20],
    'Stretch at break across the layers.',
    MICRO,
  ),
  notchedImpactKJPerM2: strength.number(
    'notched impact strength',
    'kJ/m2',
    1.6,
    [0.1, 200],
    'Izod impact strength of unoriented plastic.',
    'Grijpma 2002, in table 2 of Frontiers in Chemistry 1:32 (2013)',
  ),
} as const satisfies FieldTable

/** Facts about one spool. */
export type FilamentCard = { readonly form: 'fettle-filament-card'; readonly version: 1 } & ValuesOf<
  typeof FILAMENT_FIELDS
>
