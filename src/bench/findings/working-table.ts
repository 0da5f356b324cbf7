// The working behind each rule: the formula it stands on, what its letters mean, and where it comes from. Fetched when first opened.

export interface Working {
  /** One line, as it would stand on paper. */
  readonly formula: string
  /** What the letters mean. */
  readonly terms: string
  readonly source: string
}

const PRACTICE = 'Common practice, no published source.'
const MESH: Working = {
  formula: 'every edge belongs to exactly two triangles, run through in opposite ways',
  terms: 'The edges for which this does not hold are counted and joined to holes.',
  source: 'Definition of a closed surface; any textbook of combinatorial topology.',
}
const FORCE: Working = {
  formula: 'σ = F · l / W + F / A;   breaks at (σ₁/X)² − σ₁σ₂/X² + (σ₂/Y)² + (τ/S)² = 1',
  terms:
    'F force at the tip, l its lever, W section modulus and A area of the true section; X, Y, S strength along and across layers and in shear.',
  source:
    'Bending of beams: Timoshenko and Gere, Mechanics of Materials, 1972. Strength that differs by direction: Azzi and Tsai, Experimental Mechanics 5, 1965.',
}
const HEAT: Working = {
  formula: 'ρ c ∂T/∂t = λ ∇²T − (h_c + h_r)(T − T_air) / d',
  terms:
    'T temperature of the plastic, ρ density, c heat capacity, λ conductivity, h_c and h_r heat given to moving air and by radiation, d thickness of the layer that gives it.',
  source:
    'Conduction: any handbook. Moving air across a rod: Churchill and Bernstein 1977. Radiation: Stefan and Boltzmann.',
}

const ROOM: Working = {
  formula: 'surplus = V_laid − V_room;   bead section = h (w − h) + π h² / 4',
  terms: 'V volume in the layer, place by place; h height and w width of a bead with half-round sides.',
  source: 'Volume balance; section of a bead as a stadium: common practice.',
}

/** By rule; what is not named here has no formula beyond its own words. */
export const WORKINGS: Readonly<Record<string, Working>> = {
  'thin-limb': {
    formula: 'p = w − h (1 − π/4);   n = ⌊(t − w) / (2 p) + ½⌋',
    terms:
      'w bead width, h layer height, p distance between two shells, t thickness of the limb, n closed shells that fit.',
    source: 'Geometry of beads with half-round sides; that one shell is weak: common practice, no source.',
  },
  'thin-place': {
    formula: 't = 2 r,  r = radius of the largest circle that lies inside and touches both walls',
    terms: 't local thickness, measured in the plane of the layer between walls that face each other.',
    source: 'Local thickness after Hildebrand and Rüegsegger, Journal of Microscopy 185, 1997.',
  },
  vanishes: {
    formula: 'lost = A ∖ (A ⊖ D) ⊕ D,  D = disc of diameter w',
    terms:
      'A area of the layer, w bead width; ⊖ shrinks by the disc and ⊕ grows by it again: what does not come back is lost.',
    source: 'Opening of a set: Serra, Image Analysis and Mathematical Morphology, 1982.',
  },
  'small-details': {
    formula: 'lost = A ∖ (A ⊖ D) ⊕ D,  D = disc of diameter w',
    terms: 'A area of the layer, w bead width; small pieces that are lost, counted.',
    source: 'Opening of a set: Serra, Image Analysis and Mathematical Morphology, 1982.',
  },
  'starts-in-air': {
    formula: 'island ∩ (layer below) = ∅',
    terms: 'An island is one closed outline of a layer with its holes.',
    source: 'Own, exact on the outlines.',
  },
  'rim-in-air': {
    formula: 'part of the layer ∩ (layer below) = ∅, though it is joined to what has footing',
    terms: 'The rim grows inwards until it meets what has footing.',
    source: 'Own, exact on the outlines.',
  },
  overhang: {
    formula: 'reach = max over the layer of the distance to the layer below;   shows where reach > w / 2',
    terms: 'w bead width.',
    source: `Distance: exact. Half a bead: ${PRACTICE}`,
  },
  span: {
    formula: 'span = shortest way across what has nothing below, between two edges that have footing',
    terms: 'Measured in the plane of the layer.',
    source: PRACTICE,
  },
  snaps: FORCE,
  'breaks-in-falls': {
    formula: 'v = √(2 g H);   σ ≈ 4 ρ c v · (modal sum at the root)',
    terms:
      'H height of the fall, v speed at the floor, ρ density, c speed of sound in the limb; σ stress when the base stops dead.',
    source: 'Modal analysis of a clamped rod; contact by Hertz (Johnson, Contact Mechanics, 1985).',
  },
  'bends-while-printed': {
    formula: 'u = F l³ / (3 E I)',
    terms: 'F push of the nozzle, l height of the free limb, E stiffness while warm, I second moment of its section.',
    source: 'Bending of a clamped rod: Timoshenko and Gere, Mechanics of Materials, 1972.',
  },
  'tips-over': {
    formula: 'α = arctan(b / z)',
    terms:
      'b least distance from the foot of the centre of gravity to the edge of the footing, z its height, α lean at which it falls over.',
    source: 'Statics; any handbook.',
  },
  buckles: {
    formula: 'F_crit = π² E I / (4 l²)',
    terms: 'E stiffness, I second moment of the section, l free length, clamped below and free above.',
    source: 'Euler 1744; Timoshenko and Gere, Theory of Elastic Stability, 1961.',
  },
  'weak-across-layers': FORCE,
  'heavier-for-nothing': FORCE,
  'laid-on-soft': HEAT,
  'too-quick': HEAT,
  lingers: {
    formula: 'q = λ_air (T_nozzle − T) / gap',
    terms: 'q heat flow through the air under the flat end of the nozzle, λ_air its conductivity.',
    source: 'Conduction through a thin layer; any handbook.',
  },
  'weak-bond': {
    formula: 'D = (Σ Δt / a_T)^¼,  held against the same sum of an ordinary bar',
    terms:
      'Δt time above the glass transition, a_T shift of the chains’ mobility with temperature (Williams, Landel and Ferry).',
    source: 'Wool and O’Connor, Journal of Applied Physics 52, 1981.',
  },
  'soft-by-bed': {
    formula: 'T(z) = T_air + (T_bed − T_air) cosh m(L − z) / cosh m L,  m² = h P / (λ A)',
    terms:
      'z height above the bed, L height of the piece, P and A girth and area of its section, h heat given to the air.',
    source: 'Fin of constant section: Incropera, Fundamentals of Heat and Mass Transfer, 3.6.',
  },
  surplus: ROOM,
  gaps: ROOM,
  'shells-alone': {
    formula: 'share = 1 − (A_infill + A_cap) / A',
    terms: 'A areas in the section.',
    source: 'Counted on the planned beads.',
  },
  'speed-not-reached': {
    formula: 'v_max = √(v_c² + a s)',
    terms:
      's length of a straight, a acceleration, v_c speed kept through its corners; the typed speed is reached where v_max is above it.',
    source: 'Kinematics of constant acceleration.',
  },
  'corners-too-fast': { formula: 'Δv = 2 v_c sin(θ/2)', terms: 'v_c corner speed, θ turn.', source: PRACTICE },
  'short-layers': {
    formula: 't_layer = Σ t(moves),  slowed down to v_least at most;   short where t_layer < t_least',
    terms: 't_least least layer time, v_least least speed of the recipe.',
    source: `Times: kinematics. The least layer time: ${PRACTICE}`,
  },
  'layer-time-jumps': { formula: 'ratio = t(k) / t(k + 1)', terms: 't time of neighbouring layers.', source: PRACTICE },
  threads: {
    formula: 'V = V₀ (1 − e^(−t/τ))',
    terms:
      'V₀ plastic that pressure still holds in the nozzle when a bead ends, τ time in which it dies away, t time of the travel over air.',
    source: 'First-order decay; the constants are from memory of workshop measurements.',
  },
  'chewed-filament': {
    formula: 'passes = number of retractions whose stretch of filament holds the same piece',
    terms: 'A retraction of length r holds the last r of filament used; counted along the whole print.',
    source: `Counted; the number that a filament bears: ${PRACTICE}`,
  },
  'over-melt-limit': {
    formula: 'Fo = a t / R² ≥ 0.2,  t = π R² L / Q',
    terms: 'a diffusivity of the plastic, R radius of the filament, L melt zone, Q plastic asked for in a second.',
    source: 'Conduction in a round bar whose surface is held warm; any handbook.',
  },
  'does-not-fit': { formula: 'extent of all beads ≤ bed and height', terms: '', source: 'The printer card.' },
  'steps-on-face': {
    formula: 'cusp = h cos θ;   spacing = h / sin θ',
    terms: 'h layer height, θ slope of the surface against the upright.',
    source: 'Dolenc and Mäkelä, Computer-Aided Design 26, 1994 (from memory); eyesight by ISO 8596 (from memory).',
  },
  sags: {
    formula: 'u̇ = 5 q l⁴ / (384 · 3 η I), until the bead is below its glass transition',
    terms: 'q weight of the bead a length, l span, η viscosity at its temperature, I second moment of its section.',
    source: 'Trouton 1906 for threefold viscosity in stretching; beam formulas of any handbook.',
  },
  curls: {
    formula: 'κ = 6 ε d (H − d) / H³;   rise = κ L² / 8',
    terms:
      'κ curvature of a block of height H whose upper part, d deep, has shrunk by ε more than the rest; L its length.',
    source:
      'Bending by a strained layer: Timoshenko, Journal of the Optical Society of America 11, 1925, for one stiffness.',
  },
  'needs-props': {
    formula: 'reach > 1.5 w, or starts in mid air, or sag > h / 2',
    terms: 'w bead width, h layer height.',
    source: PRACTICE,
  },
  'starts-on-face': {
    formula: 'bare = 1 on a wall or an edge;   bare = max(0, 1 − turn / 90°) in a fold of the outline',
    terms:
      'turn is how far the outline bends inwards where the bead begins: in a deep fold the two flanks hide the mark.',
    source: 'Own measure, no source.',
  },
  'torn-mesh': MESH,
  'crowded-edges': MESH,
  'overlapping-shells': {
    formula: 'inside where the winding number is above zero',
    terms: 'The winding number counts how often the surface goes round a point.',
    source: 'Topology of the plane; exact on the outlines.',
  },
  'guessed-scale': {
    formula: 'size in mm = number in the file × length of the unit,  for each unit that a mesh may be in',
    terms: 'The unit whose size comes nearest to a tabletop figure is taken; the reason above names it.',
    source: PRACTICE,
  },
  'small-footing': {
    formula: 'hold = strength of the bond to the bed · area of the first layer',
    terms: 'Held against the sideways push of the nozzle at the top.',
    source: PRACTICE,
  },
  'of the file itself': {
    formula: 'each line read by its words;  lengths, times and plastic summed move by move',
    terms: 'What a line does not say plainly is told, with its number, and never guessed in silence.',
    source: 'Words of the file by NIST IR 6556 (RS274); times by the kinematics of constant acceleration.',
  },
  'differs from the plan': {
    formula: 'difference = file − plan, over the whole print and from height to height',
    terms: 'Heights at which both have a layer face are the bands that are compared.',
    source: 'Counted on both sets of beads; words of the file by NIST IR 6556.',
  },
}

const MELT: Working = {
  formula: 'Q = v · A_bead · flow ≤ min(5 π a L, Q_card)',
  terms:
    'v set speed, A_bead = h (w − h) + π h² / 4 section of the bead, a diffusivity of the plastic, L melt zone, Q_card limit of the printer card.',
  source:
    'Round bar heated from its rim, warm to the core at a Fourier number of 0.2: Carslaw and Jaeger, Conduction of Heat in Solids, 1959.',
}
const CARD = 'The limit stands on the card; it is the maker’s own number.'
const PRESSED: Working = {
  formula: 'h < d',
  terms:
    'h height of the layer, d bore of the nozzle: a strand as thick as the bore is pressed flat only in a lower gap.',
  source: 'Geometry.',
}

/** By check, for findings that read the recipe alone. */
export const RECIPE_WORKINGS: Readonly<Record<string, Working>> = {
  'corner-speed': {
    formula: 'v_corner < least of the print speeds',
    terms: 'Speeds as set in the recipe.',
    source: PRACTICE,
  },
  'layer-over-bore': PRESSED,
  'first-layer-over-bore': PRESSED,
  'bead-under-height': {
    formula: 'w ≥ h',
    terms: 'w bead width, h layer height.',
    source: 'Geometry of a pressed strand.',
  },
  'bead-over-land': {
    formula: 'w ≤ D',
    terms: 'w widest bead, D outer width of the nozzle’s flat end, which presses the bead down.',
    source: 'Geometry.',
  },
  'bead-under-card': { formula: 'w_least ≥ w_card', terms: 'w_card narrowest bead of the printer card.', source: CARD },
  'flow-times-tolerance': {
    formula: 'filled = flow · (d_true / d_card)²',
    terms:
      'd_true diameter of the filament at either end of its tolerance, d_card the one that the volume is reckoned with.',
    source: 'Volume of a round bar; how much a print forgives is from memory.',
  },
  'outer-shell-too-slow': {
    formula: 'z = 2 √(a t),  t = D / v',
    terms: 'z reach of the heat, a diffusivity, D flat end of the nozzle, v speed of the outer shell.',
    source:
      'Half-space: Carslaw and Jaeger, Conduction of Heat in Solids, 1959. The reach that still looks well: common practice.',
  },
  'retraction-grinds': {
    formula: 'passes = r / s',
    terms: 'r length of a retraction, s filament used between two of them on the limbs of a figure.',
    source: 'Counted; s and the number of passes that filament bears are from memory.',
  },
  'melt-limit': MELT,
  'nozzle-outside-card': {
    formula: 'T_from ≤ T_nozzle ≤ T_to',
    terms: 'T_from, T_to range of the filament card.',
    source: CARD,
  },
  'beyond-machine': {
    formula: 'typed ≤ limit of the machine',
    terms: 'The machine cuts down what is beyond it.',
    source: CARD,
  },
  'least-speed-over-speed': {
    formula: 't_least = Σ s / v,  v ≥ v_least',
    terms:
      's lengths of the layer, v speed, slowed down to v_least at most: with v_least above v nothing can be slowed.',
    source: 'Kinematics.',
  },
  'infill-full': {
    formula: 'laid / room = infill · flow · (d_true / d_card)²',
    terms: 'd_true thickest filament within its tolerance.',
    source: `Volume balance. What share is good: ${PRACTICE}`,
  },
  'nothing-inside': {
    formula: 'shells ≥ 1 or infill > 0',
    terms: '',
    source: 'A piece without walls and lattice has no plastic.',
  },
}

/** By check, for departures whose value is worked out from two lines. */
export const DEPARTURE_WORKINGS: Readonly<Record<string, Working>> = {
  'outer-shell-share': {
    formula: 'share = v_outer / v_base,  40 % ≤ share ≤ 70 %',
    terms: 'v_outer speed of the outer shell, v_base base speed of the recipe.',
    source: PRACTICE,
  },
  'first-layer-nozzle': {
    formula: 'over = T_first − T_nozzle,  5 °C ≤ over ≤ 15 °C',
    terms: 'T_first temperature of the nozzle on the first layer, T_nozzle on all others.',
    source: PRACTICE,
  },
}

/** For lines that depart from common practice. */
const DEPARTURE: Working = {
  formula: 'least ≤ value ≤ most',
  terms:
    'Value of the line, and the range that is common for small figures; each line has its reason in the table of settings.',
  source: PRACTICE,
}

/** Formula, terms and source of a finding; null where none is known, which a test forbids. */
export const workingOf = ({ id, rule }: { readonly id: string; readonly rule: string }): Working | null => {
  if (!rule.startsWith('recipe')) return WORKINGS[rule] ?? null
  const check = id.slice(id.indexOf(':') + 1)
  return rule === 'recipe-departure' ? (DEPARTURE_WORKINGS[check] ?? DEPARTURE) : (RECIPE_WORKINGS[check] ?? null)
}
