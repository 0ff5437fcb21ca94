/** A sweep's plan from its file, with the preset and the liquids that it names. */
import { dirname, resolve } from 'node:path'
import { checkPreset } from '../../life/preset.ts'
import { readJson } from '../../life/presetText.ts'
import type { Preset } from '../../life/types.ts'
import { isGroup, shown } from '../../liquids/own/messageWords.ts'
import { checkPlan } from '../../plan/sweep/checkPlan.ts'
import type { SweepPlan } from '../../plan/sweep/types.ts'
import { readText, userPath } from '../files.ts'
import { type Loaded, loadPreset, withLiquids } from '../load.ts'
import { PLAN_BYTES } from './folder.ts'

/** The files of "liquid", seen from the plan's folder. */
function liquidFiles(file: string, given: unknown): Loaded<{ files: string[] }> {
  if (given === undefined) return { ok: true, files: [] }
  const list = Array.isArray(given) ? given : [given]
  if (list.every((one) => typeof one === 'string'))
    return { ok: true, files: list.map((one) => resolve(dirname(file), one)) }
  return {
    ok: false,
    messages: [
      `${file}: liquid is ${shown(given)}; it must be the path of a liquid file, or a list of such paths.`,
    ],
  }
}

/** The files that a plan names, as far as it does. */
const filesOf = (file: string, { preset, liquid }: Record<string, unknown>): string[] =>
  [preset, liquid]
    .flat()
    .filter((one) => typeof one === 'string')
    .map((one) => resolve(dirname(file), one))

/** The preset of a plan with its liquids. */
function presetOfPlan(file: string, given: Record<string, unknown>): Loaded<{ preset: Preset }> {
  const liquids = liquidFiles(file, given.liquid)
  if (!liquids.ok) return liquids
  const { preset } = given
  if (typeof preset === 'string') {
    if (preset === '')
      return { ok: false, messages: [`${file}: preset is empty; give the path of a preset.`] }
    return loadPreset(resolve(dirname(file), preset), [], liquids.files)
  }
  if (!isGroup(preset))
    return {
      ok: false,
      messages: [`${file}: preset is ${shown(preset)}; it must be the path of a preset, or a preset in { }.`],
    }
  const checked = checkPreset(preset)
  if (checked.ok) return withLiquids(checked.preset, liquids.files)
  return { ok: false, messages: checked.problems.map(({ message }) => `${file}, preset: ${message}`) }
}

export interface LoadedPlan {
  plan: SweepPlan
  notes: string[]
  /** The files that it names. */
  files: string[]
}

/** What a plan's text means; everything that is wrong is told at once. @param file as messages name it */
export function planOf(text: string, file: string): Loaded<LoadedPlan> {
  const json = readJson(text.startsWith('\uFEFF') ? text.slice(1) : text)
  if (!json.ok) return { ok: false, messages: json.problems.map(({ message }) => `${file}: ${message}`) }
  const given = json.value
  const loaded = isGroup(given) ? presetOfPlan(file, given) : undefined
  const checked = checkPlan(given, loaded?.ok ? loaded.preset : undefined)
  if (checked.ok) {
    const { design } = checked.plan
    const idle = (given as { seed?: unknown }).seed !== undefined && (design === 'grid' || design === 'list')
    return {
      ok: true,
      plan: checked.plan,
      files: filesOf(file, given as Record<string, unknown>),
      notes: idle ? [`${file}: seed changes nothing in a ${design}; nothing is drawn by chance.`] : [],
    }
  }
  const messages = checked.problems.map(({ message }) => `${file}: ${message}`)
  return { ok: false, messages: [...(loaded && !loaded.ok ? loaded.messages : []), ...messages] }
}

/** Reads a plan. */
export function loadPlan(file: string): Loaded<LoadedPlan> {
  const read = readText(userPath(file), PLAN_BYTES)
  return read.ok ? planOf(read.text, file) : { ok: false, messages: [`${file}: ${read.message}.`] }
}
