/** Keys of the drop as it is set down, and of its rim. */
import { choice, type Key, num, toggle } from './kinds.ts'

export const DROP: readonly Key[] = [
  num('drop.volume_uL', 'Volume', 'µL', 0.5, 100, 10, 'Volume of the drop as it is set down.'),
  num(
    'drop.startRadius_mm',
    'Start radius',
    'mm',
    0.5,
    15,
    2.5,
    'Radius of the drop as it is set down, a parabolic cap.',
  ),
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
    'How much of the mixture is alcohol, by mass. With "reference" it is the share by volume.',
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
]

export const RING: readonly Key[] = [
  toggle(
    'ring.breakUp',
    'Rim breaks up',
    false,
    'Lets the rim break into child drops once its beads have grown (an estimate).',
  ),
]
