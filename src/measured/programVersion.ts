/** The program's version, that of package.json, for what is kept with curves and told in reports. */
export const PROGRAM_VERSION = '0.1.0'
