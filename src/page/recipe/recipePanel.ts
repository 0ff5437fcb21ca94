/** Recipe: from the bottle at hand to the mixture of the drop. */
import type { Preset } from '../../life/types.ts'
import { mixtureNamed } from '../../liquids/own/resolve.ts'
import type { Mixture } from '../../liquids/types.ts'
import { type Recipe, type RecipeResult, recipeOf } from '../../plan/recipe.ts'
import { type Strengths, strengthsOfMass } from '../../plan/strength.ts'
import { setBottle } from '../actions.ts'
import { changeKey } from '../controls/change.ts'
import { el } from '../dom.ts'
import { type Field, numberField, strengthField } from '../fields.ts'
import { plain } from '../format.ts'
import { type Store, type View, watch } from '../store.ts'
import { type Bottle, wantOf } from './bottle.ts'

/** The recipe of the bottle and the drop that are on the page. */
const recipeFor = (bottle: Bottle, preset: Preset): RecipeResult =>
  recipeOf({
    alcohol: preset.drop.alcohol,
    liquids: preset.liquids,
    stock: bottle.stock,
    want: wantOf(bottle, preset),
    volume_mL: bottle.mixture_mL,
    temperature_C: preset.air.temperature_C,
    pipette: bottle.pipette,
  })

function measureTable(recipe: Recipe): HTMLElement {
  const { stock_mL, stock_g, water_mL, water_g, volume_mL, mass_g, errors } = recipe
  const row = (name: string, mL: number, g: number, error: number) =>
    el(
      'tr',
      {},
      el('th', { scope: 'row' }, name),
      el('td', { class: 'large-figure' }, `${plain(mL)} mL`),
      el('td', {}, error > 0 ? `± ${plain(error, 2)} mL` : ''),
      el('td', { class: 'large-figure' }, `${plain(g)} g`),
    )
  return el(
    'table',
    { class: 'figures-table' },
    el(
      'thead',
      {},
      el(
        'tr',
        {},
        ...['Take', 'by volume', 'pipette', 'or by weight'].map((t) => el('th', { scope: 'col' }, t)),
      ),
    ),
    el(
      'tbody',
      {},
      row('Stock', stock_mL, stock_g, errors.stock_mL),
      row('Water', water_mL, water_g, errors.water_mL),
      row('Mixture', volume_mL, mass_g, 0),
    ),
  )
}

function strengthTable(recipe: Recipe, mixture: Mixture): HTMLElement {
  const mixed = strengthsOfMass(mixture, recipe.equalVolumes.w)
  const row = (name: string, { mass, percent: volume, mole }: Strengths) =>
    el(
      'tr',
      {},
      el('th', { scope: 'row' }, name),
      ...[100 * mass, volume, 100 * mole].map((value) => el('td', {}, plain(value))),
    )
  return el(
    'table',
    { class: 'figures-table' },
    el(
      'thead',
      {},
      el(
        'tr',
        {},
        ...['Strength', '% by mass', '% by volume, 20 °C', '% by mole'].map((t) =>
          el('th', { scope: 'col' }, t),
        ),
      ),
    ),
    el(
      'tbody',
      {},
      row('Stock', recipe.stock),
      row('Wanted', recipe.want),
      row('Half stock, half water', mixed),
    ),
  )
}

function resultOf(recipe: Recipe, liquids: Preset['liquids']): HTMLElement[] {
  const mixture = mixtureNamed(recipe.alcohol, liquids)
  const { contraction_mL, errors, temperature_C, volume_mL, pipette } = recipe
  const least = volume_mL * errors.smallestMultiple
  return [
    measureTable(recipe),
    el(
      'p',
      {},
      `Mixing loses ${plain(contraction_mL, 2)} mL at ${temperature_C} °C: the volumes do not simply add. Weighing is more accurate: with this pipette the strength is uncertain by ± ${plain(100 * errors.largest, 2)} % by mass.`,
    ),
    el(
      'p',
      {},
      `This pipette measures ${plain(pipette.smallest_mL)} mL at least, so ${plain(least)} mL is the smallest mixture that it can make.`,
    ),
    ...(mixture ? [strengthTable(recipe, mixture)] : []),
    el('ul', {}, ...recipe.notes.map((note) => el('li', {}, note))),
  ]
}

function pipetteFields(store: Store): { root: HTMLElement; fields: Field[]; show(bottle: Bottle): void } {
  const change = (part: Partial<Bottle['pipette']>) => {
    const { pipette } = store.getState().bottle
    setBottle(store, { pipette: { ...pipette, ...part } })
  }
  const smallest = numberField({
    label: 'Smallest volume',
    unit: 'mL',
    set: (smallest_mL) => change({ smallest_mL }),
  })
  const absolute = numberField({ label: 'Error', unit: 'mL', set: (absolute_mL) => change({ absolute_mL }) })
  const relative = numberField({
    label: 'and of the volume',
    unit: '%',
    set: (percent) => change({ relative: percent / 100 }),
  })
  const fields = [smallest, absolute, relative]
  return {
    root: el('details', {}, el('summary', {}, 'Pipette'), ...fields.map(({ root }) => root)),
    fields,
    show({ pipette }) {
      smallest.show(pipette.smallest_mL)
      absolute.show(pipette.absolute_mL)
      relative.show(100 * pipette.relative)
    },
  }
}

export function createRecipe(root: HTMLElement, store: Store): View {
  const stock = strengthField('The bottle says', 'recipe-stock', (strength) =>
    setBottle(store, { stock: strength }),
  )
  const want = strengthField('Wanted', 'recipe-want', (strength) => setBottle(store, { want: strength }))
  const volume = numberField({
    label: 'How much of it',
    unit: 'mL',
    id: 'recipe-volume',
    set: (mixture_mL) => setBottle(store, { mixture_mL }),
  })
  const asDrop = el(
    'button',
    { type: 'button', onclick: () => setBottle(store, { want: null }) },
    'As the present drop',
  )
  const toDrop = el('button', { type: 'button' }, 'Give the drop this strength')
  const pipette = pipetteFields(store)
  const result = el('div', { class: 'result', 'aria-live': 'polite' })
  const other = el('p', { class: 'problem', role: 'status' })
  root.append(
    el('h2', { id: 'recipe-title', tabindex: -1 }, 'Recipe'),
    el(
      'p',
      { class: 'note' },
      'How to mix the drop from the bottle that you have. Your entries are kept in this browser.',
    ),
    el(
      'div',
      { class: 'form' },
      stock.root,
      el('div', { class: 'field' }, want.root, el('div', { class: 'buttons' }, asDrop, toDrop)),
      volume.root,
      pipette.root,
    ),
    other,
    result,
  )

  function draw(bottle: Bottle, preset: Preset): void {
    stock.show(bottle.stock)
    want.show(wantOf(bottle, preset))
    volume.show(bottle.mixture_mL)
    pipette.show(bottle)
    const made = recipeFor(bottle, preset)
    const problems = made.ok ? [] : made.problems
    const at = (where: string) =>
      problems
        .filter((p) => p.where === where)
        .map((p) => p.message)
        .join(' ')
    stock.complain(at('stock'))
    want.complain(at('want'))
    volume.complain(at('volume'))
    pipette.fields.at(-1)!.complain(at('pipette'))
    const rest = problems.filter(({ where }) => !['stock', 'want', 'volume', 'pipette'].includes(where))
    other.textContent =
      preset.drop.alcohol === 'reference'
        ? 'The reference liquids exist only as formulas: choose a real alcohol and a real oil in the controls.'
        : rest.map(({ message }) => message).join(' ')
    result.replaceChildren(...(made.ok ? resultOf(made.recipe, preset.liquids) : []))
    asDrop.disabled = bottle.want === null
    const mass = made.ok ? Number(made.recipe.want.mass.toPrecision(6)) : Number.NaN
    toDrop.disabled = !made.ok || mass === preset.drop.alcoholMassFraction
    toDrop.onclick = () => {
      const wrong = changeKey(store, 'drop.alcoholMassFraction', mass)
      if (wrong) other.textContent = wrong
    }
  }

  const unwatch = watch(
    store,
    (state) => [state.bottle, state.preset],
    (_, { bottle, preset }) => draw(bottle, preset),
  )
  return {
    destroy() {
      unwatch()
      root.replaceChildren()
    },
  }
}
