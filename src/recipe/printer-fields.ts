// What is known of one machine, one line each. Starting values are for a cheap bowden-fed desktop machine.

import { type FieldTable, fieldsOf, type ValuesOf } from './field.ts'

const about = fieldsOf('about')
const frame = fieldsOf('frame')
const feed = fieldsOf('feed and nozzle')
const motion = fieldsOf('motion')
const times = fieldsOf('times around the print')

export const PRINTER_FIELDS = {
  name: about.text('name', 'bowden machine, 0.4 mm nozzle', 'Name to show for this machine.'),

  bedXMm: frame.number('bed, x', 'mm', 220, [50, 2000], 'Usable length of the bed along x.'),
  bedYMm: frame.number('bed, y', 'mm', 220, [50, 2000], 'Usable length of the bed along y.'),
  tallestMm: frame.number('tallest print', 'mm', 250, [30, 2000], 'Greatest height of the nozzle above the bed.'),
  gantryHeightMm: frame.number(
    'gantry height',
    'mm',
    30,
    [5, 500],
    'Free height between the nozzle tip and the lowest part of the gantry; figures printed one after the other must stay below it.',
  ),
  headRadiusMm: frame.number('head radius', 'mm', 35, [5, 150], 'Reach of the print head round the nozzle, in plan.'),

  nozzleBoreMm: feed.number('nozzle bore', 'mm', 0.4, [0.1, 1.2], 'Diameter of the nozzle opening.'),
  nozzleLandMm: feed.number('nozzle land', 'mm', 1, [0.2, 4], 'Outer diameter of the flat end of the nozzle.'),
  leastBeadWidthMm: feed.number(
    'least bead width',
    'mm',
    0.2,
    [0.05, 1.2],
    'Narrowest bead that the nozzle lays as a continuous strand.',
  ),
  feedType: feed.choice(
    'feed',
    ['bowden', 'direct'],
    'bowden',
    'Whether the filament is pushed through a long tube or straight into the head.',
  ),
  feedTubeMm: feed.number('feed tube', 'mm', 400, [0, 1500], 'Length of tube between feed gear and nozzle.'),
  leftoverPoints: feed.choice(
    'leftover points',
    ['deposit', 'empty'],
    'empty',
    'A round leftover too short for a bead is filled by a standing deposit or left empty.',
  ),
  meltZoneMm: feed.number('melt zone', 'mm', 12, [3, 60], 'Length over which the filament is heated.'),
  meltLimitMm3PerS: feed.number(
    'melt limit',
    'mm3/s',
    8,
    [0.5, 100],
    'Greatest volume rate the feed keeps up without slipping.',
  ),
  oozeTimeConstantS: feed.number(
    'ooze time constant',
    's',
    0.5,
    [0.02, 10],
    'Time in which pressure left in the nozzle falls to 37 %.',
  ),
  fanAirMPerS: feed.number('fan air', 'm/s', 2, [0.5, 5], 'Air speed at the part with the fan full.'),
  blockWidthMm: feed.number('heater block width', 'mm', 18, [5, 60], 'Width of the hot block above the nozzle.'),
  blockHeightMm: feed.number('heater block height', 'mm', 8, [1, 30], 'Height of the block above the nozzle tip.'),

  xMostMmPerS: motion.number('x speed limit', 'mm/s', 180, [10, 2000], 'Greatest speed along x.'),
  yMostMmPerS: motion.number('y speed limit', 'mm/s', 180, [10, 2000], 'Greatest speed along y.'),
  zMostMmPerS: motion.number('z speed limit', 'mm/s', 10, [0.5, 500], 'Greatest speed along z.'),
  filamentMostMmPerS: motion.number('filament speed limit', 'mm/s', 60, [1, 500], 'Greatest speed of the filament.'),
  xMostMmPerS2: motion.number('x acceleration limit', 'mm/s2', 1000, [20, 100000], 'Greatest acceleration along x.'),
  yMostMmPerS2: motion.number('y acceleration limit', 'mm/s2', 1000, [20, 100000], 'Greatest acceleration along y.'),
  zMostMmPerS2: motion.number('z acceleration limit', 'mm/s2', 100, [5, 50000], 'Greatest acceleration along z.'),
  filamentMostMmPerS2: motion.number(
    'filament acceleration limit',
    'mm/s2',
    5000,
    [20, 100000],
    'Greatest acceleration of the filament.',
  ),
  cornerRule: motion.choice(
    'corner rule',
    ['jump', 'deviation'],
    'jump',
    'How speed through a corner is limited: change of the velocity vector up to the corner speed, or a circle that leaves the corner by the deviation.',
  ),
  cornerDeviationMm: motion.number(
    'corner deviation',
    'mm',
    0.02,
    [0.001, 0.5],
    'Distance from the corner at which the circle of the deviation rule passes.',
  ),
  zCornerSpeedMmPerS: motion.number(
    'z corner speed',
    'mm/s',
    0.4,
    [0, 20],
    'Change of z speed the machine makes at once.',
  ),
  filamentCornerSpeedMmPerS: motion.number(
    'filament corner speed',
    'mm/s',
    5,
    [0, 50],
    'Change of filament speed the machine makes at once.',
  ),
  curvatureLimit: motion.flag(
    'curvature limit',
    true,
    'Whether speed on curves made of short pieces is also held to what the acceleration allows on their radius.',
    'centripetal acceleration v2/r',
  ),

  nozzleHeatingCPerS: times.number('nozzle heating', 'deg C/s', 2, [0.1, 20], 'Rate at which the nozzle heats up.'),
  bedHeatingCPerS: times.number('bed heating', 'deg C/s', 0.25, [0.02, 10], 'Rate at which the bed heats up.'),
  startS: times.number('start', 's', 40, [0, 600], 'Homing and what else happens before the first bead.'),
  coolingS: times.number('cooling', 's', 300, [0, 3600], 'Wait until the figure comes off the bed.'),
  removalS: times.number('removal', 's', 120, [0, 3600], 'Time to take the figure off and clear the bed.'),
} as const satisfies FieldTable

/** Facts about one machine. */
export type PrinterCard = { readonly form: 'fettle-printer-card'; readonly version: 1 } & ValuesOf<
  typeof PRINTER_FIELDS
>
