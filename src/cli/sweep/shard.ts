/** Which part of the rows a call computes: as told, or as a job array of Slurm counts. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { typedNumber } from '../../numerics/typedNumber.ts'
import { Wrong, WrongInput } from '../command.ts'
import { type Shard, type SweepFolder, writeOnce, writing } from './folder.ts'

const MOST_SHARDS = 10_000

/** The shard of `--shard i/n`. @throws Wrong */
export function shardOf(text: string): Shard {
  const [part, of] = text.split('/').map((one) => typedNumber(one.trim()))
  const whole = text.split('/').length === 2 && Number.isInteger(part) && Number.isInteger(of)
  if (whole && of! >= 1 && of! <= MOST_SHARDS && part! >= 1 && part! <= of!) return { part: part!, of: of! }
  throw new Wrong(
    `--shard is ${JSON.stringify(text)}. Permitted: i/n with n from 1 to ${MOST_SHARDS} and i from 1 to n, e.g. 3/8`,
  )
}

/** The tasks of a job array. */
interface JobArray {
  count: number
  min: number
  step: number
}

/** The array that a task of Slurm belongs to, and its own number; undefined where this is none. */
export function arrayOf(env: NodeJS.ProcessEnv): { task: number; array: JobArray } | undefined {
  const number = (name: string): number => Number(env[`SLURM_ARRAY_TASK_${name}`] ?? Number.NaN)
  const task = number('ID')
  if (!Number.isInteger(task)) return undefined
  const array = { count: number('COUNT'), min: number('MIN'), step: number('STEP') || 1 }
  return Number.isInteger(array.count) && Number.isInteger(array.min) ? { task, array } : undefined
}

/**
 * The shard of a task. The array that began a folder is noted there: a task that is sent again alone is still the same one of
 * so many. @throws WrongInput where the task is none of that array
 */
export function shardOfTask({ task, array }: { task: number; array: JobArray }, folder: SweepFolder): Shard {
  const path = join(folder.lives, 'array.json')
  writing(`${folder.told}/lives/array.json could not be written`, () =>
    writeOnce(path, JSON.stringify(array)),
  )
  const { count, min, step } = JSON.parse(readFileSync(path, 'utf8')) as JobArray
  const part = (task - min) / step + 1
  if (Number.isInteger(part) && part >= 1 && part <= count) return { part, of: count }
  const last = min + step * (count - 1)
  throw new WrongInput([
    `SLURM_ARRAY_TASK_ID is ${task}. Permitted: a task of the array that began ${folder.told} (${min} to ${last}${step > 1 ? ` by ${step}` : ''}); for other parts give --shard i/n.`,
  ])
}
