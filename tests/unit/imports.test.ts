/** Who may import whom: page, cli, workers → plan → rim → life, measured → model → liquids, numerics; page → optics → liquids. */
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, join, relative, resolve } from 'node:path'
import { describe, expect, it } from 'vitest'

const root = resolve(import.meta.dirname, '../..')

/** Folders that the files of a folder may import from, besides their own. */
const MAY: Record<string, string[]> = {
  'src/engine': [],
  'src/numerics': [],
  'src/liquids': ['src/numerics'],
  'src/optics': ['src/liquids', 'src/numerics'],
  'src/model': ['src/engine', 'src/liquids', 'src/numerics'],
  'src/life': ['src/model', 'src/liquids', 'src/numerics'],
  'src/measured': ['src/life', 'src/model', 'src/liquids', 'src/numerics'],
  'src/rim': ['src/life', 'src/model', 'src/engine', 'src/liquids', 'src/numerics'],
  'src/plan': ['src/rim', 'src/life', 'src/measured', 'src/model', 'src/liquids', 'src/numerics'],
  'src/cli': ['src/rim', 'src/life', 'src/measured', 'src/plan', 'src/model', 'src/liquids', 'src/numerics'],
  workers: ['src/rim', 'src/life', 'src/measured', 'src/plan', 'src/model', 'src/liquids', 'src/numerics'],
  'src/page': [
    'workers',
    'src/rim',
    'src/life',
    'src/measured',
    'src/plan',
    'src/model',
    'src/optics',
    'src/liquids',
    'src/numerics',
  ],
}

interface Import {
  specifier: string
  typeOnly: boolean
}

const withoutComments = (code: string): string =>
  code.replace(/\/\*[\s\S]*?\*\//g, ' ').replace(/(^|[^:'"`])\/\/.*$/gm, '$1')

/** Static, re-exporting, dynamic and worker imports of a source text. */
function importsOf(code: string): Import[] {
  const clean = withoutComments(code)
  const found: Import[] = []
  const add = (pattern: RegExp, typeOnly: (mark: string | undefined) => boolean) => {
    for (const { groups } of clean.matchAll(pattern)) {
      found.push({ specifier: groups!.from!, typeOnly: typeOnly(groups!.mark) })
    }
  }
  const marked = (mark: string | undefined) => mark !== undefined
  add(/(?:^|[;\n])\s*(?:import|export)(?<mark>\s+type)?\s+[^;'"]*?from\s*['"](?<from>[^'"]+)['"]/g, marked)
  add(/(?:^|[;\n])\s*import\s*['"](?<from>[^'"]+)['"]/g, marked)
  add(/\bimport\(\s*['"](?<from>[^'"]+)['"]\s*\)(?<mark>\.[A-Z])?/g, marked)
  add(/new\s+URL\(\s*['"](?<from>[^'"]+)['"]\s*,\s*import\.meta\.url/g, () => true)
  return found
}

/** Sources below a folder; none if it is not there (yet). */
function filesBelow(folder: string): string[] {
  if (!existsSync(join(root, folder))) return []
  return (
    readdirSync(join(root, folder), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && /\.(ts|mjs)$/.test(entry.name))
      // AssemblyScript, and what is made from it, are the compiler's.
      .filter(
        (entry) => !/(engine.assembly$)/.test(entry.parentPath) && !entry.name.endsWith('.generated.ts'),
      )
      .map((entry) => relative(root, join(entry.parentPath, entry.name)))
  )
}

const folderOf = (file: string): string | undefined =>
  Object.keys(MAY).find((folder) => file.startsWith(`${folder}/`))

const files = Object.keys(MAY).flatMap(filesBelow)
const codeOf = new Map(files.map((file) => [file, readFileSync(join(root, file), 'utf8')]))
const graph = new Map(
  files.map((file) => [
    file,
    importsOf(codeOf.get(file)!).map((one) => ({
      ...one,
      target: one.specifier.startsWith('.')
        ? relative(root, resolve(root, dirname(file), one.specifier))
        : undefined,
    })),
  ]),
)

describe('the reader of imports', () => {
  it('sees every kind', () => {
    const code = `
      import { a, type B } from './a.ts'
      import type { C } from './c.ts'
      export { d } from './d.ts'
      export * from './e.ts'
      import './f.css'
      const g = await import('./g.ts')
      let x: import('./x.ts').X
      new Worker(new URL('../workers/h.ts', import.meta.url), { type: 'module' })
      // import { no } from './no.ts'
      /* import { no } from './no.ts' */
      import {
        long,
        list,
      } from './i.ts'`
    const names = importsOf(code).map(({ specifier, typeOnly }) => `${specifier}${typeOnly ? ' (type)' : ''}`)
    expect(names.sort()).toEqual([
      '../workers/h.ts (type)',
      './a.ts',
      './c.ts (type)',
      './d.ts',
      './e.ts',
      './f.css',
      './g.ts',
      './i.ts',
      './x.ts (type)',
    ])
  })
  it('reads real files', () => {
    expect(files.length).toBeGreaterThan(15)
    expect(graph.get('src/life/preset.ts')!.map((one) => one.target)).toContain('src/life/keys.ts')
  })
})

describe('import directions', () => {
  it('point one way between the folders', () => {
    const wrong: string[] = []
    for (const [file, imports] of graph) {
      const from = folderOf(file)!
      for (const { target } of imports) {
        if (!target || target.startsWith('presets/')) continue
        const to = folderOf(target)
        if (to !== from && !(to && MAY[from]!.includes(to))) wrong.push(`${file} → ${target}`)
      }
    }
    expect(wrong).toEqual([])
  })
  it('name files with their ending', () => {
    const wrong = [...graph].flatMap(([file, imports]) =>
      imports
        .filter(({ specifier }) => /^\.\.?\/(.*\/)?[^./]+$/.test(specifier))
        .map(({ specifier }) => `${file} → ${specifier}`),
    )
    expect(wrong).toEqual([])
  })
  it('keep the page free of packages that build code from strings', () => {
    const forbidden = /^(ndarray|ndarray-ops|cwise|cwise-compiler)(\/|$)/
    const seen = new Map<string, string>()
    const queue = files.filter((file) => file.startsWith('src/page/')).map((file) => [file, file] as const)
    const wrong: string[] = []
    for (let item = queue.pop(); item; item = queue.pop()) {
      const [file, path] = item
      if (seen.has(file)) continue
      seen.set(file, path)
      for (const { specifier, typeOnly, target } of graph.get(file) ?? []) {
        if (typeOnly) continue
        if (forbidden.test(specifier)) wrong.push(`${path} → ${specifier}`)
        if (target && graph.has(target)) queue.push([target, `${path} → ${target}`])
      }
    }
    expect(wrong).toEqual([])
  })
})

type Arrows = Map<string, string[]>

/** Shortest way along the arrows from a file back to itself; undefined if there is none. */
function wayBack(arrows: Arrows, start: string): string[] | undefined {
  const cameFrom = new Map<string, string>()
  const queue = [start]
  for (const file of queue) {
    for (const next of arrows.get(file) ?? []) {
      if (cameFrom.has(next)) continue
      cameFrom.set(next, file)
      if (next === start) return traced(cameFrom, start)
      queue.push(next)
    }
  }
  return undefined
}

function traced(cameFrom: Map<string, string>, start: string): string[] {
  const way = [start]
  do way.unshift(cameFrom.get(way[0]!)!)
  while (way[0] !== start)
  return way
}

/** One shortest circle for each file that lies on one and on none of those found before. */
function circlesOf(arrows: Arrows): string[][] {
  const circles: string[][] = []
  for (const file of arrows.keys()) {
    if (circles.some((circle) => circle.includes(file))) continue
    const circle = wayBack(arrows, file)
    if (circle) circles.push(circle)
  }
  return circles
}

describe('the finder of circles', () => {
  const arrows = (list: string) =>
    new Map(
      list.split(' ').map((line) => {
        const [from, to] = line.split('>')
        return [from!, [...to!]]
      }),
    )
  it('finds each circle once, by its shortest way', () => {
    expect(circlesOf(arrows('a>bc b>d c>a d>b e>a'))).toEqual([
      ['a', 'c', 'a'],
      ['b', 'd', 'b'],
    ])
    expect(circlesOf(arrows('a>a'))).toEqual([['a', 'a']])
  })
  it('finds none where all point one way', () => {
    expect(circlesOf(arrows('a>bcd b>cd c>d d>'))).toEqual([])
  })
})

describe('files', () => {
  it('import each other in no circle, not even for types', () => {
    const arrows: Arrows = new Map()
    for (const [file, imports] of graph) {
      arrows.set(
        file,
        imports.flatMap(({ target }) => (target && graph.has(target) ? [target] : [])),
      )
    }
    expect(circlesOf(arrows).map((circle) => circle.join(' → '))).toEqual([])
  })
})

describe('the browser', () => {
  it('is touched by the page alone', () => {
    const wrong = files
      .filter((file) => !file.startsWith('src/page/'))
      .filter((file) =>
        /(?<![.\w'"-])(document|window|localStorage|navigator)\s*(\.|\[)/.test(
          withoutComments(codeOf.get(file)!),
        ),
      )
    expect(wrong).toEqual([])
  })
  it('gets no default exports', () => {
    const wrong = files.filter((file) => /^export default/m.test(codeOf.get(file)!))
    expect(wrong).toEqual([])
  })
})
