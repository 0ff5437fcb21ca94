/** Slurm on this machine alone: its daemons on the loopback, with a configuration of their own, ended by their numbers. */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import { randomBytes } from 'node:crypto'
import { once } from 'node:events'
import { mkdirSync, openSync, readFileSync, writeFileSync } from 'node:fs'
import { type AddressInfo, createServer } from 'node:net'
import { cpus, hostname } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'

const has = (program: string): boolean => spawnSync('which', [program]).status === 0

/** Installs Debian's Slurm where it is missing; gives why it cannot be had, or ''. */
export function whyNoSlurm(): string {
  const needed = ['munged', 'slurmctld', 'slurmd', 'sbatch', 'squeue', 'scancel', 'sinfo']
  const missing = () => needed.filter((program) => !has(program))
  if (process.getuid?.() !== 0) return 'its daemons need the superuser here'
  if (missing().length === 0) return ''
  if (!has('apt-get')) return `${missing().join(', ')} not found, and there is no apt-get`
  const apt = (...args: string[]) =>
    spawnSync('apt-get', args, {
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
      encoding: 'utf8',
    })
  apt('update')
  const made = apt('install', '-y', '--no-install-recommends', 'slurm-wlm', 'munge')
  return missing().length === 0
    ? ''
    : `apt-get could not install it: ${made.stderr.trim().split('\n').at(-1)}`
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1')
  await once(server, 'listening')
  const { port } = server.address() as AddressInfo
  server.close()
  await once(server, 'close')
  return port
}

function configuration(folder: string, controller: number, node: number): string {
  const name = hostname().split('.')[0]
  return `${[
    'ClusterName=loopback',
    `SlurmctldHost=${name}(127.0.0.1)`,
    `SlurmctldPort=${controller}`,
    `SlurmdPort=${node}`,
    'SlurmUser=root',
    'SlurmdUser=root',
    'AuthType=auth/munge',
    `AuthInfo=socket=${join(folder, 'munge.socket')}`,
    `StateSaveLocation=${join(folder, 'state')}`,
    `SlurmdSpoolDir=${join(folder, 'spool')}`,
    `SlurmctldPidFile=${join(folder, 'slurmctld.pid')}`,
    `SlurmdPidFile=${join(folder, 'slurmd.pid')}`,
    // Nothing that needs control groups.
    'ProctrackType=proctrack/linuxproc',
    'TaskPlugin=task/none',
    'JobAcctGatherType=jobacct_gather/none',
    'AccountingStorageType=accounting_storage/none',
    'MpiDefault=none',
    'SelectType=select/cons_tres',
    'SelectTypeParameters=CR_CPU',
    'ReturnToService=2',
    'KillWait=10',
    `NodeName=${name} NodeAddr=127.0.0.1 CPUs=${cpus().length} State=UNKNOWN`,
    'PartitionName=all Nodes=ALL Default=YES MaxTime=INFINITE State=UP',
  ].join('\n')}\n`
}

export class Slurm {
  private readonly daemons: ChildProcess[] = []
  private constructor(
    private readonly folder: string,
    private readonly env: NodeJS.ProcessEnv,
  ) {}

  /** Begins munged, slurmctld and slurmd, and waits until the node takes jobs. */
  static async begin(folder: string): Promise<Slurm> {
    for (const name of ['state', 'spool']) mkdirSync(join(folder, name))
    const conf = join(folder, 'slurm.conf')
    writeFileSync(conf, configuration(folder, await freePort(), await freePort()))
    writeFileSync(join(folder, 'munge.key'), randomBytes(128), { mode: 0o400 })
    const slurm = new Slurm(folder, { ...process.env, SLURM_CONF: conf })
    const file = (name: string) => `--${name}-file=${join(folder, `munge.${name}`)}`
    const socket = `--socket=${join(folder, 'munge.socket')}`
    slurm.daemon('munged', [
      '--foreground',
      '--force',
      socket,
      file('key'),
      file('pid'),
      file('log'),
      file('seed'),
    ])
    await slurm.until(
      'munged',
      () => spawnSync('munge', ['-n', '-S', join(folder, 'munge.socket')]).status === 0,
    )
    slurm.daemon('slurmctld', ['-D', '-i', '-f', conf])
    slurm.daemon('slurmd', ['-D', '-f', conf, '-N', hostname().split('.')[0]!])
    await slurm.until('the node', () => slurm.call('sinfo', '-h', '-o', '%T').trim() === 'idle')
    return slurm
  }

  private daemon(program: string, args: string[]): void {
    const log = openSync(join(this.folder, `${program}.log`), 'a')
    const child = spawn(program, args, { env: this.env, stdio: ['ignore', log, log] })
    this.daemons.push(child)
  }

  private async until(what: string, ready: () => boolean): Promise<void> {
    for (let tries = 0; !ready(); tries++) {
      if (tries > 300) throw new Error(`${what} did not come up:\n${this.logs()}`)
      await wait(200)
    }
  }

  private logs(): string {
    return ['munged', 'slurmctld', 'slurmd']
      .map((name) => {
        const lines = readFileSync(join(this.folder, `${name}.log`), 'utf8')
          .trim()
          .split('\n')
        return `${name}: ${lines.slice(-8).join('\n  ')}`
      })
      .join('\n')
  }

  /** What a command of Slurm prints; '' where it fails. */
  call(program: string, ...args: string[]): string {
    return spawnSync(program, args, { env: this.env, encoding: 'utf8' }).stdout ?? ''
  }

  /** Sends a job; gives its number. */
  send(cwd: string, env: NodeJS.ProcessEnv, ...args: string[]): string {
    const made = spawnSync('sbatch', ['--parsable', ...args], {
      cwd,
      env: { ...this.env, ...env },
      encoding: 'utf8',
    })
    if (made.status !== 0) throw new Error(`sbatch: ${made.stderr}`)
    return made.stdout.trim()
  }

  /** Tasks of a job that wait or run. */
  open = (job: string): string[] =>
    this.call('squeue', '-h', '-r', '-j', job, '-o', '%K %T').split('\n').filter(Boolean)

  async done(job: string): Promise<void> {
    while (this.open(job).length > 0) await wait(300)
  }

  /** Ends the daemons that were begun here, each by its number. */
  async end(): Promise<void> {
    for (const child of this.daemons.reverse()) {
      if (child.exitCode !== null) continue
      const ended = once(child, 'exit')
      child.kill('SIGTERM')
      await Promise.race([ended, wait(15_000)])
      if (child.exitCode === null && child.signalCode === null) child.kill('SIGKILL')
    }
  }
}
