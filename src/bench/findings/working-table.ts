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
  source: 'Bending of beams, Timoshenko and Gere; Tsai and Hill for strength that differs by direction.',
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
    source: 'Bending of a clamped rod, Timoshenko and Gere.',
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
    source: 'Euler; Timoshenko and Gere, Theory of Elastic Stability.',
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
    formula: 'κ = (6 ε / h) · m (1 + m)² / (…)',
    terms: 'κ curvature of a strip whose upper part has shrunk by ε, m ratio of the two thicknesses.',
    source: 'Timoshenko, Journal of the Optical Society of America 11, 1925.',
  },
  'needs-props': {
    formula: 'reach > 1.5 w, or starts in mid air, or sag > h / 2',
    terms: 'w bead width, h layer height.',
    source: PRACTICE,
  },
  'starts-on-face': {
    formula: '',
    terms: 'How bare the place of each bead start is, and on which side.',
    source: 'Own.',
  },
  'torn-mesh': MESH,
  'crowded-edges': MESH,
  'overlapping-shells': {
    formula: 'inside where the winding number is above zero',
    terms: 'The winding number counts how often the surface goes round a point.',
    source: 'Topology of the plane; exact on the outlines.',
  },
  'guessed-scale': { formula: '', terms: 'Unit and size of the file against usual figures.', source: PRACTICE },
  'small-footing': {
    formula: 'hold = strength of the bond to the bed · area of the first layer',
    terms: 'Held against the sideways push of the nozzle at the top.',
    source: PRACTICE,
  },
  'differs from the plan': {
    formula: 'difference = file − plan, over the whole print and from height to height',
    terms: 'Heights at which both have a layer face are the bands that are compared.',
    source: 'Counted on both sets of beads; words of the file by NIST IR 6556.',
  },
}

/** For rules that read the recipe alone. */
export const RECIPE_WORKING: Working = {
  formula: 'value of the recipe held against the range of its line, or against another line',
  terms: 'Each line of the recipe has its range and its reason in the table of settings.',
  source: PRACTICE,
}
