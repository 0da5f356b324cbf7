// Measures that the demo crew was modelled to: the modelling takes them from here, tests and guides compare with them.

/** The base of every figure, mm. */
export const BASE = { diameter: 25, height: 3, bevel: { height: 0.8, inset: 0.5 } } as const

/** The keeper's boat-hook, mm. Upright round shaft; bare all round between these heights (the hand is between them). */
export const BOAT_HOOK = {
  axis: [-7.3, -2.2],
  diameter: 1.2,
  bareFrom: [3.2, 24.6],
  bareTo: [19.8, 33.6],
  top: 38.6,
} as const

/** The lamplighter's lantern, mm: an upright axis and the height of its lowest point, in mid air above the deck. */
export const LANTERN = { axis: [-9.8, -4.45], lowest: 19.1, radius: 1.7 } as const

/** The tail of the lamplighter's scarf, mm: an upright waving sheet. Free of the figure from x = 4 outwards. */
export const RIBBON = { thickness: 0.3, width: 1.9, freeFrom: 4, bottom: 24.6, top: 29.3 } as const

/** The hole in the lamplighter's back, mm: the vertex whose triangles are missing lies within 1 mm of here. */
export const HOLE = { near: [0.6, 2.6, 22.5], across: 0.5 } as const

/** The passenger: closed shells that overlap, all turned outwards. The umbrella stands upright; its stick is 0.9 mm thick. */
export const PASSENGER_SHELLS = 35
export const UMBRELLA = { axis: [-6.4, -3.6], stick: 0.9 } as const

/** Middle of the eye line, mm, where the face looks (a horizontal direction, any length), size against the pattern head. */
export const EYES = {
  keeper: { at: [0, -0.35, 31], gaze: [0.3, -1], size: 1.14 },
  lamplighter: { at: [0, -0.35, 31], gaze: [-0.5, -1], size: 1.12 },
  passenger: { at: [0, -0.3, 31], gaze: [0.28, -1], size: 1.14 },
  'ferry-dog': { at: [0.15, -1.95, 16.9], gaze: [0.4, -1], size: 1 },
} as const
