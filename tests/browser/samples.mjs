/** Invented measurements and broken files for the checks of the page. */

/** An invented radius–time table (s, mm) that grows to `radius` (m) and shrinks again. */
export function csvOf(radius, points = 25) {
  const rows = Array.from({ length: points }, (_, i) => {
    const t = i * 0.25
    const r = radius * 1e3 * Math.sin(Math.PI * Math.min(0.98, (t + 0.15) / 8.5)) ** 0.45
    return `${t.toFixed(2)},${r.toFixed(2)},0.5`
  })
  return [
    '# invented data: Harbour Lane evening school, bench 3',
    't (s),R (mm),uncertainty (mm)',
    ...rows,
  ].join('\n')
}

export const presetWith = (change) =>
  JSON.stringify({
    format: 'rimtide-preset',
    version: 1,
    title: 'From a file',
    note: '',
    drop: { volume_uL: 12, alcoholMassFraction: 0.6 },
    ...change,
  })
