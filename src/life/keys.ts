/**
 * The one table of preset keys. Validation, `--set`, the page's controls and the documentation
 * are all made from it: a key exists here or nowhere.
 */

export interface NumberKey {
  kind: 'number'
  path: string
  label: string
  unit: string
  min: number
  max: number
  /** Default; null means "taken from the liquids library". */
  fallback: number | null
  integer?: boolean
  /** Slider in powers of ten. */
  logarithmic?: boolean
  help: string
}
export interface ChoiceKey {
  kind: 'choice'
  path: string
  label: string
  options: { value: string; label: string }[]
  fallback: string
  help: string
}
export interface SwitchKey {
  kind: 'switch'
  path: string
  label: string
  fallback: boolean
  help: string
  /** What is told to be switched off where it is; '' for the label. */
  off?: string
}
export type Key = NumberKey | ChoiceKey | SwitchKey

const num = (
  path: string,
  label: string,
  unit: string,
  min: number,
  max: number,
  fallback: number | null,
  help: string,
  more: Partial<NumberKey> = {},
): NumberKey => ({ kind: 'number', path, label, unit, min, max, fallback, help, ...more })

const choice = (
  path: string,
  label: string,
  options: [string, string][],
  fallback: string,
  help: string,
): ChoiceKey => ({
  kind: 'choice',
  path,
  label,
  options: options.map(([value, text]) => ({ value, label: text })),
  fallback,
  help,
})

const toggle = (path: string, label: string, fallback: boolean, help: string): SwitchKey => ({
  kind: 'switch',
  path,
  label,
  fallback,
  help,
})

/** A mechanism of the model that can be switched off: a limit of its equations, made in problemOf.ts. */
const mechanism = (name: string, label: string, help: string, off?: string): SwitchKey => ({
  ...toggle(`mechanisms.${name}`, label, true, help),
  ...(off ? { off } : {}),
})

export const KEYS: readonly Key[] = [
  num('drop.volume_uL', 'Volume', 'µL', 0.5, 100, 10, 'Volume of the drop as it is set down.'),
  num('drop.startRadius_mm', 'Start radius', 'mm', 0.5, 15, 2.5, 'Radius at touch-down (a parabolic cap).'),
  choice(
    'drop.alcohol',
    'Alcohol',
    [
      ['ethanol', 'ethanol'],
      ['2-propanol', '2-propanol'],
      ['1-propanol', '1-propanol'],
      ['methanol', 'methanol (toxic)'],
      ['own', 'own liquid'],
      ['reference', 'reference (closed forms)'],
    ],
    'ethanol',
    'The volatile alcohol mixed with water. Methanol is toxic, through the skin too. "own" is a liquid of yours, from a liquid file.',
  ),
  num(
    'drop.alcoholMassFraction',
    'Strength (by mass)',
    '',
    0,
    1,
    0.5,
    'Alcohol mass fraction. With "reference" it is used directly as the volume fraction.',
  ),
  num(
    'drop.viscosity_mPas',
    'Drop viscosity',
    'mPa·s',
    0.2,
    200,
    null,
    'Viscosity of the mixture. Empty: from the liquids at this strength and temperature.',
    {
      logarithmic: true,
    },
  ),
  choice(
    'bath.liquid',
    'Bath',
    [
      ['rapeseed-oil', 'rapeseed oil'],
      ['sunflower-oil', 'sunflower oil'],
      ['rapeseed-oil-kitchen', 'rapeseed oil, kitchen grade'],
      ['sunflower-oil-kitchen', 'sunflower oil, kitchen grade'],
      ['olive-oil', 'olive oil'],
      ['soybean-oil', 'soybean oil'],
      ['castor-oil', 'castor oil'],
      ['paraffin-oil-light', 'light paraffin oil'],
      ['silicone-oil-50', 'silicone oil 50 cSt'],
      ['silicone-oil-350', 'silicone oil 350 cSt'],
      ['own', 'own oil'],
      ['reference', 'reference (closed forms)'],
    ],
    'rapeseed-oil',
    'The oil under the drop. "own" is an oil of yours, from a liquid file.',
  ),
  num(
    'bath.depth_mm',
    'Oil depth',
    'mm',
    0.5,
    60,
    10,
    'Depth of the oil over the floor of the dish. Near the floor friction holds the drop back.',
  ),
  num(
    'bath.dishRadius_mm',
    'Dish radius',
    'mm',
    10,
    300,
    70,
    'Inner radius of the round dish: half of its width.',
  ),
  num(
    'bath.viscosity_mPas',
    'Oil viscosity',
    'mPa·s',
    1,
    5000,
    null,
    'Viscosity of the oil. Empty: from the oil at the temperature below.',
    {
      logarithmic: true,
    },
  ),
  num(
    'bath.density_kgPerM3',
    'Oil density',
    'kg/m³',
    600,
    1500,
    null,
    'Density of the oil. Empty: from the oil.',
  ),
  num(
    'bath.tension_mNperM',
    'Oil/air tension',
    'mN/m',
    10,
    60,
    null,
    'Tension of the bare oil against air. Empty: from the oil.',
  ),
  num(
    'bath.solubility',
    'Solubility in oil',
    'by volume',
    0,
    0.5,
    null,
    'Alcohol that the oil takes up from pure alcohol, volume per volume of oil; from a mixture as much less as its activity is below one. 0: none. Empty: from the liquids.',
  ),
  num(
    'bath.alcoholDiffusivity_m2PerS',
    'Diffusion in oil',
    'm²/s',
    0,
    1e-8,
    null,
    'Diffusivity of the alcohol in the oil. 0: none is taken up. Empty: from the oil’s viscosity.',
  ),
  num('air.temperature_C', 'Temperature', '°C', 10, 35, 22, 'Temperature of room, drop and oil.'),
  num(
    'air.relativeHumidity',
    'Humidity',
    '',
    0,
    1,
    0.5,
    'Relative humidity of the room air, as a fraction. Water leaves the drop by it, or condenses.',
  ),
  choice(
    'air.mode',
    'Evaporation',
    [
      ['constant', 'constant rate'],
      ['moving', 'moving air'],
      ['still', 'still air over a disc'],
      ['layer', 'layer of air'],
    ],
    'moving',
    'How the vapour leaves: at a given rate, carried off by moving air above each spot by itself, by diffusion into still air, or through a layer of air that the whole drop shares.',
  ),
  num(
    'air.constantRate_umPerS',
    'Constant rate',
    'µm/s',
    0,
    20,
    0.4,
    'Loss of pure alcohol per area and time ("constant" only); multiplied by the alcohol fraction.',
  ),
  num(
    'air.filmCoefficient_mmPerS',
    'Film coefficient',
    'mm/s',
    0,
    100,
    4,
    'Mass-transfer coefficient of the alcohol vapour ("moving" only). A quiet bench is about 4. Not used if an air speed is given.',
  ),
  num(
    'air.speed_mPerS',
    'Air speed',
    'm/s',
    0.01,
    30,
    null,
    'Speed of the air along the dish ("moving" only). If given, the film coefficient comes from it: laminar flow over a plate as long as from the rim of the dish to its middle. Empty: the film coefficient is used as it stands.',
    { logarithmic: true },
  ),
  num(
    'air.enhancement',
    'Draught factor',
    '',
    1,
    4,
    1,
    'Factor by which the draughts of a real room exceed still air ("still" only).',
  ),
  num(
    'air.layer_mm',
    'Air layer',
    'mm',
    0.3,
    300,
    3,
    'Thickness of the layer of air through which the vapour leaves ("layer" only); above it the room’s air is as if fresh. A thin layer acts as moving air does, a thick one as still air. About 3 mm on a quiet bench.',
    { logarithmic: true },
  ),
  toggle(
    'ring.breakUp',
    'Ring breaks up',
    false,
    'Lets the rim break into child drops once beads on it have grown (an estimate).',
  ),
  num(
    'interface.water_mNperM',
    'Drop/oil tension, water',
    'mN/m',
    5,
    60,
    null,
    'Water/oil tension at no alcohol (assumed curve). Empty: from the oil.',
  ),
  num(
    'interface.end_mNperM',
    'Drop/oil tension, end value',
    'mN/m',
    0.05,
    10,
    null,
    'Value that the assumed curve falls towards; at pure alcohol it is still a little above it. Empty: from the liquids.',
  ),
  num(
    'interface.decay',
    'Drop/oil tension, fall',
    '',
    0.5,
    12,
    null,
    'How fast the assumed curve falls: k in exp(−k w), w by mass. Empty: from the liquids.',
  ),
  choice(
    'model.accuracy',
    'Accuracy',
    [
      ['quick', 'quick'],
      ['normal', 'normal'],
      ['fine', 'fine'],
    ],
    'normal',
    'Mesh and tolerance together. Cells given below take the place of its mesh.',
  ),
  choice(
    'model.bath',
    'Bath response',
    [
      ['exact', 'creeping flow to 0.3 %'],
      ['three-field', 'three fields, to 1 %'],
    ],
    'exact',
    'How the flow in the oil is represented. The numbers of the reference case were computed with three fields.',
  ),
  num('model.innerCells', 'Cells under the drop', '', 20, 400, null, 'Empty: from the accuracy.', {
    integer: true,
  }),
  num('model.outerCells', 'Cells outside', '', 8, 200, null, 'Empty: from the accuracy.', { integer: true }),
  num(
    'model.filmCutoff_nm',
    'Coverage cut-off',
    'nm',
    2,
    500,
    50,
    'h*: a film much thinner than this pulls no more than bare oil. Matters above 0.7 of alcohol.',
    {
      logarithmic: true,
    },
  ),
  num(
    'model.evaporationCutoff_nm',
    'Evaporation cut-off',
    'nm',
    0.5,
    200,
    null,
    'h_e in h/(h + h_e). Empty: 5 nm (50 nm in the reference case).',
  ),
  num(
    'model.gammaEff_mNperM',
    'Levelling tension',
    'mN/m',
    0.1,
    60,
    null,
    'γ_eff. Empty: γa γi/(γa + γi) of the mixture (5 in the reference case).',
  ),
  num(
    'model.dispersion_m2PerS',
    'Dispersion',
    'm²/s',
    1e-10,
    1e-5,
    null,
    'D_eff of the alcohol in the film. Empty: molecular with shear dispersion (1e-7 in the reference case).',
    { logarithmic: true },
  ),
  toggle(
    'model.gravity',
    'Weight',
    false,
    'Weight of the drop in oil, ρ g′ h, in the film pressure. Small for thin drops.',
  ),
  num(
    'model.horizon_s',
    'Longest life',
    's',
    0.5,
    3600,
    null,
    'The life is followed to this time at the latest. Empty: chosen from the scales.',
  ),
  mechanism(
    'evaporation',
    'Evaporation',
    'Off: nothing goes into the air and no moisture condenses on the drop, whatever the air. What the oil takes up still leaves it; with that off too, alcohol and water stay as they were set down.',
  ),
  mechanism(
    'tensionAbove',
    'Tension gradient above',
    'Off: the upper face of the drop keeps the tension that it has at touch-down, whatever alcohol is lost: no difference in alcohol pulls along it. The pull at the edge then changes with the lower face alone.',
    'tension gradient above the film',
  ),
  mechanism(
    'tensionBelow',
    'Tension gradient below',
    'Off: the lower face of the drop keeps the tension against the oil that it has at touch-down, whatever alcohol is lost. The pull at the edge then changes with the upper face alone.',
    'tension gradient below the film',
  ),
  mechanism(
    'bathDrag',
    'Drag of the oil',
    'Off: the oil has a tenth of its viscosity, but not less than 5 mPa·s. Without any viscosity there is no answer: the pull at the edge would move a layer of oil without thickness, and nothing would hold the drop.',
    'most of the drag of the oil',
  ),
  mechanism(
    'levelling',
    'Levelling',
    'Off: the curved surface has no pressure, and no pull where it meets the oil (γ_eff is zero). That pressure evens the film out, holds a lens open and drives the beads on the rim. A drop that does not spread, or no longer, is then drawn together to a point.',
    'levelling by the curved surface',
  ),
  mechanism(
    'uptake',
    'Uptake by the oil',
    'Off: no alcohol passes into the oil. In experiments it does; how much is known roughly.',
  ),
  mechanism(
    'cooling',
    'Cooling by evaporation',
    'Off: the drop stays as warm as the room, whatever evaporates.',
  ),
]

const byPath = new Map(KEYS.map((key) => [key.path, key]))

/** The key of a dotted path, or undefined. */
export const keyOf = (path: string): Key | undefined => byPath.get(path)
