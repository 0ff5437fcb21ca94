// AssemblyScript: sizes of blocks for which loops are written out, as sizes of classes of bytes.
@unmanaged
export class One {
  a: i8
}
@unmanaged
export class Two {
  a: i8
  b: i8
}
@unmanaged
export class Three {
  a: i8
  b: i8
  c: i8
}
@unmanaged
export class Four {
  a: i8
  b: i8
  c: i8
  d: i8
}
@unmanaged
export class Five {
  a: i8
  b: i8
  c: i8
  d: i8
  e: i8
}
@unmanaged
export class Six {
  a: i8
  b: i8
  c: i8
  d: i8
  e: i8
  f: i8
}
@unmanaged
export class Seven {
  a: i8
  b: i8
  c: i8
  d: i8
  e: i8
  f: i8
  g: i8
}
@unmanaged
export class Eight {
  a: i8
  b: i8
  c: i8
  d: i8
  e: i8
  f: i8
  g: i8
  h: i8
}
