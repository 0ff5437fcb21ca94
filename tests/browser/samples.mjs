/** Invented measurements and broken files for the checks of the page. */
import { strToU8, zipSync } from 'fflate'

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

/** A workbook (xlsx) of numbers and texts, put together from the parts that ISO/IEC 29500-1 asks for. */
export function workbookOf(sheets) {
  const main = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main'
  const relations = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships'
  const names = Object.keys(sheets)
  const cell = (value, at) =>
    typeof value === 'number'
      ? `<c r="${at}"><v>${value}</v></c>`
      : `<c r="${at}" t="inlineStr"><is><t>${value}</t></is></c>`
  const row = (cells, i) =>
    `<row r="${i + 1}">${cells.map((value, k) => cell(value, `${'ABCDEF'[k]}${i + 1}`)).join('')}</row>`
  const parts = {
    'xl/workbook.xml': `<workbook xmlns="${main}" xmlns:r="${relations}"><sheets>${names.map((name, k) => `<sheet name="${name}" sheetId="${k + 1}" r:id="rId${k + 1}"/>`).join('')}</sheets></workbook>`,
    'xl/_rels/workbook.xml.rels': `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">${names.map((_, k) => `<Relationship Id="rId${k + 1}" Type="${relations}/worksheet" Target="worksheets/sheet${k + 1}.xml"/>`).join('')}</Relationships>`,
  }
  names.forEach((name, k) => {
    parts[`xl/worksheets/sheet${k + 1}.xml`] =
      `<worksheet xmlns="${main}"><sheetData>${sheets[name].map(row).join('')}</sheetData></worksheet>`
  })
  return zipSync(Object.fromEntries(Object.entries(parts).map(([path, text]) => [path, strToU8(text)])))
}
