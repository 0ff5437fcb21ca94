/** Constants of the engine's equations, and the places of what stands in rows by number. */

/** Thickness, m, below which the composition of a cell passes to that of a dry spot. */
export const DRY: f64 = 1e-9
/** A film of this thickness (m) counts as half wet. */
export const WET: f64 = 1e-8
export const NO_WETNESS: f64 = 1e-12
/** Mobilities see at least this thickness, m. */
export const LEAST: f64 = 1e-10

/**
 * Share of the donor cell in the mobility under pressure, where liquid comes from the thicker side. The geometric mean
 * alone lets the ring's inner front fill one thin cell after another, a staircase on the edge speed; the donor's share
 * smooths it (about threefold) and lowers R_max by 0.2 % at 80 cells, vanishing with refinement.
 */
export const DONOR_SHARE: f64 = 0.05

// Order of the closures of a cell; after the values come their derivatives by φ in the same order. See model/problem.ts.
export const GAMMA_A: i32 = 0
export const SPREADING: i32 = 1
export const LEVELLING: i32 = 2
export const VISCOSITY: i32 = 3
export const ALCOHOL_LOSS: i32 = 4
export const WATER_LOSS: i32 = 5
export const DIFFUSIVITY: i32 = 6
export const DISSOLVED: i32 = 7
export const CLOSURES: i32 = 8
/** Values of a cell in `closure`. */
export const STRIDE: i32 = 16

// Sums that are integrated with the state, 2π left out: m³.
export const LOST_VOLUME: i32 = 0
export const LOST_ALCOHOL: i32 = 1
export const CHILD_VOLUME: i32 = 2
export const CHILD_ALCOHOL: i32 = 3
export const BOOKS: i32 = 4

// Places in `set`: what the problem and the run lay down.
/** Coverage cut-off h*, evaporation cut-off h_e, m. */
export const COVERAGE: i32 = 0
export const CUTOFF: i32 = 1
/** γo, N/m; ρ g′, N/m³. */
export const GAMMA_O: i32 = 2
export const BUOYANCY: i32 = 3
/** Fraction that a dry cell is lent; 1 if it is lent one at all. */
export const PHI_DRY: i32 = 4
export const LENDS: i32 = 5
/** Dish radius, m. */
export const DISH: i32 = 6
/** 1: coverage is linear in the thickness; 1: the film ends at a fixed wall. */
export const LINEAR: i32 = 7
export const WALL: i32 = 8
/** Numbers of field groups and of links between fields, of grid intervals of the closures. */
export const GROUPS: i32 = 9
export const LINKS: i32 = 10
export const INTERVALS: i32 = 11
/** 1 where still air carries the vapour off; its diffusivities, m²/s; enhancement; mean of 1/√(πt) over the step, s^-½. */
export const STILL: i32 = 12
export const ALCOHOL_IN_AIR: i32 = 13
export const WATER_IN_AIR: i32 = 14
export const ENHANCEMENT: i32 = 15
export const START_UP: i32 = 16
/** 1 where the film is cooled; room's moisture as a loss; N/m added to γa; factors of the two vapour pressures. */
export const COOLED: i32 = 17
export const AMBIENT_WATER: i32 = 18
export const COOL_TENSION: i32 = 19
export const COOL_ALCOHOL: i32 = 20
export const COOL_WATER: i32 = 21
/** Tolerance of the step; absolute tolerance of the thickness, m. */
export const TOLERANCE: i32 = 22
export const THICKNESS_FLOOR: i32 = 23
/** Ring liquid above the thickness SHED_ABOVE (m) in cells from SHED_FROM on leaves at SHED_RATE (1/s). */
export const SHED_FROM: i32 = 24
export const SHED_ABOVE: i32 = 25
export const SHED_RATE: i32 = 26
export const SETTINGS: i32 = 32

// Places in `now`: numbers of the state last evaluated.
/** Edge R, m, and its speed U, m/s. */
export const RADIUS: i32 = 0
export const SPEED: i32 = 1
/** Force per length that the edge's dual cell passes to the bath, N/m; width of that cell, m. */
export const EDGE_PULL: i32 = 2
export const EDGE_GAP: i32 = 3
/** Limited upwind values of the face looked at last. */
export const H_UP: i32 = 4
export const PHI_UP: i32 = 5
/** Explicit dependence on R of the face being linearised, and the part of its pressure difference that is curvature. */
export const FLUX_BY_R: i32 = 6
export const ALCOHOL_BY_R: i32 = 7
export const FORCE_BY_R: i32 = 8
export const CURVED_PUSH: i32 = 9
/** hγ of the last factorisation; 1 − U of its border. */
export const STEP: i32 = 10
export const CLOSING: i32 = 11
export const NUMBERS: i32 = 16
