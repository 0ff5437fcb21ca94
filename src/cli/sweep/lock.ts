/** Who is at work on a journal: a file with process and machine, which tells that it lives by being touched. */
import { randomBytes } from 'node:crypto'
import {
  linkSync,
  readFileSync,
  readlinkSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs'
import { hostname } from 'node:os'
import { basename, join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { type Output, tell, WrongInput } from '../command.ts'
import { whyUnwritten } from '../writing.ts'
import { journalsIn, type SweepFolder } from './folder.ts'

interface Holder {
  pid: number
  host: string
  /** When the process began, as the system counts; '' where it does not tell. A number is given to another process in time. */
  born: string
  /** Whose process numbers these are: containers may share a name and have numbers of their own. '' where the system does not tell. */
  space: string
  token: string
}

export interface LockTimes {
  /** Between two signs of life, ms. */
  beat: number
  /** Without one for so long whoever works on another machine is taken for dead, ms. */
  dead: number
}
/** Shared folders tell of a change up to a minute later. */
const TIMES: LockTimes = { beat: 5000, dead: 120_000 }

/** When a process began (Linux: field 22 of /proc/PID/stat, clock ticks after the start of the machine). */
function bornOf(pid: number): string {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8')
    return stat.slice(stat.lastIndexOf(')') + 2).split(' ')[19] ?? ''
  } catch {
    return ''
  }
}

function ownSpace(): string {
  try {
    return readlinkSync('/proc/self/ns/pid')
  } catch {
    return ''
  }
}

/** True if a holder's process number means something here. */
const isHere = ({ host, space }: Holder): boolean => host === hostname() && space === ownSpace()

function lives({ pid, born }: Holder): boolean {
  try {
    process.kill(pid, 0)
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ESRCH') return false
  }
  return born === '' || bornOf(pid) === born
}

function holderOf(path: string): Holder | undefined {
  try {
    return JSON.parse(readFileSync(path, 'utf8')) as Holder
  } catch {
    return undefined
  }
}

const touchedAt = (path: string): number | undefined => statSync(path, { throwIfNoEntry: false })?.mtimeMs

/** Puts a lock there unless there is one. @throws the error of the system */
function put(path: string, text: string): boolean {
  const beside = `${path}.${process.pid}.tmp`
  writeFileSync(beside, text)
  try {
    linkSync(beside, path)
    return true
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (code === 'EEXIST') return false
    if (code !== 'EPERM' && code !== 'ENOTSUP') throw error
  } finally {
    rmSync(beside, { force: true })
  }
  try {
    writeFileSync(path, text, { flag: 'wx' })
    return true
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false
    throw error
  }
}

/** Takes away a lock that nobody holds; of several who try one succeeds, and a lock put there meanwhile stays. */
function clear(path: string, token: string | undefined): void {
  const aside = `${path}.${process.pid}.old`
  try {
    renameSync(path, aside)
    if (holderOf(aside)?.token !== token) linkSync(aside, path)
  } catch {
    // Somebody else was quicker.
  }
  rmSync(aside, { force: true })
}

/** Waits for a sign of life of a lock that another machine put there; true if there was none. */
async function silent(path: string, { beat, dead }: LockTimes): Promise<boolean> {
  const first = touchedAt(path)
  const until = performance.now() + dead
  while (performance.now() < until) {
    await wait(Math.min(beat, 1000))
    const now = touchedAt(path)
    if (now === undefined) return true
    if (now !== first) return false
  }
  return true
}

const refusal = (what: string, { pid, host }: Holder): WrongInput =>
  new WrongInput([
    `${what} is being worked on by process ${pid} on ${host}. Two at once would compute the same lives: wait, or end that one.`,
  ])

/** True if whoever put this lock there is at work, as far as can be told at once. */
function isHeld(path: string, { dead }: LockTimes = TIMES): boolean {
  const holder = holderOf(path)
  const touched = touchedAt(path)
  if (touched === undefined) return false
  return holder && isHere(holder) ? lives(holder) : Date.now() - touched < dead
}

export class Lock {
  private readonly timer: ReturnType<typeof setInterval>
  private over = false

  /** True once somebody else has taken it for dead, as after a long sleep of the machine. */
  get lost(): boolean {
    return this.over
  }

  private constructor(
    private readonly path: string,
    private readonly token: string,
    beat: number,
  ) {
    this.timer = setInterval(() => this.touch(), beat)
    this.timer.unref()
  }

  /**
   * Takes the lock `path`. One that a dead process of this machine left, or one of another machine that gives no sign of
   * life for two minutes, is taken over, and that is told.
   * @param what for messages @throws WrongInput where somebody is at work, or the error of the system
   */
  static async take(path: string, what: string, tell: (text: string) => void, times = TIMES): Promise<Lock> {
    const token = randomBytes(8).toString('hex')
    const { pid } = process
    const self: Holder = { pid, host: hostname(), born: bornOf(pid), space: ownSpace(), token }
    for (;;) {
      if (put(path, JSON.stringify(self))) return new Lock(path, token, times.beat)
      const holder = holderOf(path)
      if (holder && isHere(holder)) {
        if (lives(holder)) throw refusal(what, holder)
        tell(`${what}: process ${holder.pid}, which was at work here, has ended; its work goes on.`)
      } else {
        // Without content: cut off while it was put there, perhaps just now.
        const { host, pid } = holder ?? { host: 'an unknown machine', pid: '?' }
        tell(
          `${what}: process ${pid} on ${host} was at work here. Waiting up to ${Math.round(times.dead / 1000)} s for a sign of life.`,
        )
        if (!(await silent(path, times))) throw refusal(what, holder ?? { ...self, host, pid: 0 })
        tell(`${what}: there was none; its work goes on.`)
      }
      clear(path, holder?.token)
    }
  }

  private touch(): void {
    if (!this.holds()) return
    try {
      const now = new Date()
      utimesSync(this.path, now, now)
    } catch {
      // The next look tells whether it is still there.
    }
  }

  private holds(): boolean {
    if (!this.over && holderOf(this.path)?.token !== this.token) this.over = true
    return !this.over
  }

  release(): void {
    clearInterval(this.timer)
    if (this.holds()) rmSync(this.path, { force: true })
    this.over = true
  }
}

/** Names of locks whose work overlaps: all rows with every shard, and shards of another number of parts. */
const overlaps = (name: string, other: string): boolean =>
  name !== 'results' && other !== 'results' && name.split('-of-')[1] !== other.split('-of-')[1]

function refuseOverlap(folder: SweepFolder, name: string): void {
  for (const path of journalsIn(folder, '.lock')) {
    const other = basename(path, '.lock')
    const holder = overlaps(name, other) && isHeld(path) ? holderOf(path) : undefined
    if (holder) throw refusal(`${folder.told} (${other === 'all' ? 'all rows' : `shard ${other}`})`, holder)
  }
}

/** Does work that only one process may do in a folder. @param what for messages @throws WrongInput */
export async function withLock<T>(
  folder: SweepFolder,
  name: string,
  what: string,
  to: Output,
  work: (lock: Lock) => Promise<T>,
): Promise<T> {
  let lock: Lock
  try {
    refuseOverlap(folder, name)
    lock = await Lock.take(join(folder.lives, `${name}.lock`), what, (text) => tell(to, [text]))
  } catch (error) {
    if (error instanceof WrongInput) throw error
    throw new WrongInput([`${folder.told}/lives/${name}.lock could not be written: ${whyUnwritten(error)}.`])
  }
  try {
    return await work(lock)
  } finally {
    lock.release()
  }
}
