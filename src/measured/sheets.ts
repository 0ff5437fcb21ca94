/** Sheets of a workbook as tables of text. */

export interface Sheet {
  name: string
  /** Cells separated by tabs; line n is row n of the sheet. */
  text: string
}

/** A sheet of a workbook as the name of a table: "bench (60 %).xlsx"; the file's own where there is one sheet only. */
export const sheetName = (file: string, sheet: Sheet, sheets: readonly Sheet[]): string =>
  sheets.length > 1 ? file.replace(/(\.[^.]*)?$/, (end) => ` (${sheet.name})${end}`) : file
