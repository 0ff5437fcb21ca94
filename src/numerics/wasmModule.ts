/** Just enough of the WebAssembly binary format (W3C core specification 2.0) to build numeric kernels at run time. */

const TYPE = { i32: 0x7f, f64: 0x7c, v128: 0x7b } as const
export type ValueType = keyof typeof TYPE

/** Unsigned LEB128. */
function leb(value: number): number[] {
  const bytes: number[] = []
  let rest = value
  do {
    const low = rest & 0x7f
    rest >>>= 7
    bytes.push(rest ? low | 0x80 : low)
  } while (rest)
  return bytes
}

/** Signed LEB128 of a 32-bit integer. */
function signedLeb(value: number): number[] {
  const bytes: number[] = []
  let rest = value
  for (;;) {
    const low = rest & 0x7f
    rest >>= 7
    const done = (rest === 0 && !(low & 0x40)) || (rest === -1 && (low & 0x40) !== 0)
    bytes.push(done ? low : low | 0x80)
    if (done) return bytes
  }
}

/** The body of one function: instructions are appended in stack order. */
export class Body {
  readonly bytes: number[] = []
  private readonly locals: ValueType[] = []
  constructor(private readonly parameters: readonly ValueType[]) {}

  /** Declares a local; returns its index. */
  local(type: ValueType): number {
    this.locals.push(type)
    return this.parameters.length + this.locals.length - 1
  }
  private op(...bytes: number[]): this {
    for (const byte of bytes) this.bytes.push(byte)
    return this
  }
  private simd(code: number, ...more: number[]): this {
    return this.op(0xfd, ...leb(code), ...more)
  }
  get(local: number): this {
    return this.op(0x20, ...leb(local))
  }
  set(local: number): this {
    return this.op(0x21, ...leb(local))
  }
  int(value: number): this {
    return this.op(0x41, ...signedLeb(value))
  }
  real(value: number): this {
    return this.op(0x44, ...new Uint8Array(new Float64Array([value]).buffer))
  }
  addInt(): this {
    return this.op(0x6a)
  }
  less(): this {
    return this.op(0x48)
  }
  atLeast(): this {
    return this.op(0x4e)
  }
  /** f64 load from address on the stack plus a constant byte offset. */
  load(offset: number): this {
    return this.op(0x2b, 3, ...leb(offset))
  }
  store(offset: number): this {
    return this.op(0x39, 3, ...leb(offset))
  }
  add(): this {
    return this.op(0xa0)
  }
  sub(): this {
    return this.op(0xa1)
  }
  mul(): this {
    return this.op(0xa2)
  }
  div(): this {
    return this.op(0xa3)
  }
  abs(): this {
    return this.op(0x99)
  }
  loadPair(offset: number): this {
    return this.simd(0x00, 3, ...leb(offset))
  }
  storePair(offset: number): this {
    return this.simd(0x0b, 3, ...leb(offset))
  }
  splat(): this {
    return this.simd(0x14)
  }
  extract(lane: number): this {
    return this.simd(0x21, lane)
  }
  replace(lane: number): this {
    return this.simd(0x22, lane)
  }
  negPair(): this {
    return this.simd(0xed)
  }
  addPair(): this {
    return this.simd(0xf0)
  }
  subPair(): this {
    return this.simd(0xf1)
  }
  mulPair(): this {
    return this.simd(0xf2)
  }
  /** Runs `inside` and again as long as the condition that it leaves on the stack holds. */
  loop(inside: () => void): this {
    this.op(0x03, 0x40)
    inside()
    return this.op(0x0d, 0, 0x0b)
  }

  encode(): number[] {
    const declared = this.locals.flatMap((type) => [1, TYPE[type]])
    const content = [...leb(this.locals.length), ...declared]
    return [...leb(content.length + this.bytes.length + 1), ...content, ...this.bytes, 0x0b]
  }
}

export interface FunctionSpec {
  name: string
  parameters: readonly ValueType[]
  results: readonly ValueType[]
  body: Body
}

/** A section: id, length, content. */
function section(id: number, content: number[]): number[] {
  return [id, ...leb(content.length), ...content]
}

const text = (name: string): number[] => [name.length, ...new TextEncoder().encode(name)]

/**
 * Compiles and instantiates functions that share a memory of at least `bytes` bytes, exported as "memory".
 * @throws WebAssembly.CompileError if the bodies are not valid
 */
export function instantiate(
  functions: readonly FunctionSpec[],
  bytes: number,
): { memory: WebAssembly.Memory; call: Record<string, (...args: number[]) => number> } {
  const many = (items: number[][]) => [...leb(items.length), ...items.flat()]
  const types = functions.map((f) => [
    0x60,
    ...many(f.parameters.map((t) => [TYPE[t]])),
    ...many(f.results.map((t) => [TYPE[t]])),
  ])
  const pages = Math.ceil(bytes / 65536)
  const exported = functions.map((f, i) => [...text(f.name), 0, ...leb(i)])
  const binary = Uint8Array.from([
    ...[0x00, 0x61, 0x73, 0x6d, 1, 0, 0, 0],
    ...section(1, many(types)),
    ...section(3, many(functions.map((_, i) => leb(i)))),
    ...section(5, [1, 0, ...leb(pages)]),
    ...section(7, many([[...text('memory'), 2, 0], ...exported])),
    ...section(10, many(functions.map((f) => f.body.encode()))),
  ])
  const instance = new WebAssembly.Instance(new WebAssembly.Module(binary))
  return {
    memory: instance.exports.memory as WebAssembly.Memory,
    call: instance.exports as unknown as Record<string, (...args: number[]) => number>,
  }
}
