// The settings of a recipe, one line each. Starting values are for figures of 28-32 mm in PLA from a 0.4 mm nozzle.

import { type FieldTable, fieldsOf, type ValuesOf } from './field.ts'

const about = fieldsOf('about')
const layers = fieldsOf('layers and beads')
const speeds = fieldsOf('speed')
const travels = fieldsOf('travel')
const heat = fieldsOf('heat')

export const RECIPE_FIELDS = {
  name: about.text('name', 'starting recipe for figures', 'Name to show for this recipe.'),
  printer: about.text('printer card', 'bowden machine, 0.4 mm nozzle', 'Name of the printer card it is tied to.'),
  filament: about.text('filament card', 'plain PLA', 'Name of the filament card it is tied to.'),

  layerHeightMm: layers.number(
    'layer height',
    'mm',
    0.1,
    [0.03, 0.4],
    'Height of every layer but the first; 0.08-0.10 suits figures, and 0.05 tends to look worse.',
  ),
  firstLayerHeightMm: layers.number(
    'first layer height',
    'mm',
    0.2,
    [0.05, 0.5],
    'Height of the first layer, thicker so that an uneven bed is forgiven.',
  ),
  beadWidthMm: layers.number('bead width', 'mm', 0.4, [0.1, 1.5], 'Nominal width of a bead; equal to the nozzle bore.'),
  leastBeadWidthMm: layers.number(
    'least bead width',
    'mm',
    0.2,
    [0.05, 1.5],
    'Narrowest bead that is laid on purpose; half the nominal width.',
  ),
  mostBeadWidthMm: layers.number(
    'most bead width',
    'mm',
    0.72,
    [0.1, 3],
    'Widest gap bead that is laid on purpose; 1.8 times the nominal width.',
  ),
  nShells: layers.count('shells', 3, [0, 20], 'Closed beads laid round every outline; 2 is thin for figures.'),
  capThicknessMm: layers.number(
    'cap thickness',
    'mm',
    0.8,
    [0, 10],
    'Solid floor and roof of the figure; at least 0.8, and 1.0 for scenery.',
  ),
  infillShare: layers.number(
    'infill share',
    'share, 0-1',
    0.5,
    [0, 1],
    'Share of the inside that is filled; at least 0.3, 0.5 is good, 1 leaves a surplus no room.',
  ),
  infillReachShare: layers.number(
    'reach of infill into the shell',
    'share, 0-1',
    0.15,
    [0, 0.6],
    'How far infill lines reach into the innermost shell, as a share of the bead width.',
  ),
  gapBeads: layers.flag(
    'gap beads',
    true,
    'Whether beads of varying width fill room that is not a whole number of beads.',
  ),
  flowShare: layers.number(
    'flow share',
    'share, 0-1',
    0.95,
    [0.7, 1.3],
    'Volume pushed out as a share of the nominal; 0.95 helps against strings and blobs, 1 if gaps show.',
  ),
  nPrimingLoops: layers.count(
    'priming loops',
    2,
    [0, 20],
    'Beads laid beside the figure before it, to fill the nozzle.',
  ),
  primingLoopGapMm: layers.number(
    'gap to the priming loops',
    'mm',
    3,
    [0.5, 50],
    'Distance from the figure to the innermost priming loop.',
  ),

  speedMmPerS: speeds.number('speed', 'mm/s', 45, [5, 300], 'Set speed of every bead without a speed of its own.'),
  outerShellSpeedMmPerS: speeds.number(
    'outer shell speed',
    'mm/s',
    22.5,
    [3, 300],
    'Set speed of the outer shell, half of the base speed; 10-12 looks worse on small parts because the nozzle lingers.',
  ),
  firstLayerSpeedMmPerS: speeds.number('first layer speed', 'mm/s', 20, [3, 150], 'Set speed of beads on the bed.'),
  accelerationMmPerS2: speeds.number(
    'acceleration',
    'mm/s2',
    300,
    [20, 20000],
    'Acceleration of moves that lay plastic and of travels; up to 500 is still good.',
  ),
  cornerSpeedMmPerS: speeds.number(
    'corner speed',
    'mm/s',
    5,
    [0, 50],
    'Change of velocity the machine makes at once in a corner; always below the print speed.',
  ),

  travelSpeedMmPerS: travels.number('travel speed', 'mm/s', 100, [10, 500], 'Set speed of moves without plastic.'),
  liftMm: travels.number('lift on travel', 'mm', 0, [0, 5], 'How far the nozzle is raised for a travel; 0 is off.'),
  retractionMm: travels.number(
    'retraction',
    'mm',
    5,
    [0, 15],
    'Filament drawn back before a travel; 5 with a bowden feed, much longer ones chew the filament.',
  ),
  retractionSpeedMmPerS: travels.number(
    'retraction speed',
    'mm/s',
    40,
    [5, 150],
    'Speed of retraction; faster ones bring nothing.',
  ),
  leastTravelToRetractMm: travels.number(
    'least travel with retraction',
    'mm',
    1.5,
    [0, 50],
    'Travels shorter than this are made without retraction.',
  ),

  nozzleC: heat.number('nozzle', 'deg C', 195, [150, 320], 'Nozzle temperature; for PLA stay within 185-205.'),
  firstLayerNozzleC: heat.number(
    'nozzle on the first layer',
    'deg C',
    205,
    [150, 320],
    'Nozzle temperature of the first layer, 10 hotter than the rest.',
  ),
  bedC: heat.number('bed', 'deg C', 60, [0, 140], 'Bed temperature; 60 for PLA.'),
  fanShare: heat.number('fan share', 'share, 0-1', 1, [0, 1], 'Part-cooling fan as a share of full.'),
  fanFromLayer: heat.count('fan from layer', 2, [1, 100], 'First layer, counted from 1, with the fan on.'),
  leastLayerTimeS: heat.number(
    'least layer time',
    's',
    10,
    [0, 120],
    'Shortest time a layer may take; shorter ones are slowed down.',
  ),
  leastSpeedMmPerS: heat.number(
    'least speed',
    'mm/s',
    10,
    [1, 100],
    'Slow-down for the least layer time stops at this speed.',
  ),
  waitForLayerTime: heat.flag(
    'wait for the least layer time',
    false,
    'Whether the nozzle waits beside the figure when slowing down alone does not reach the least layer time.',
  ),
} as const satisfies FieldTable

/** A complete set of settings, tied to a printer card and a filament card. */
export type Recipe = { readonly form: 'fettle-recipe'; readonly version: 1 } & ValuesOf<typeof RECIPE_FIELDS>
