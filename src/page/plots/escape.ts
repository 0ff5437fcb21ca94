/** Text for SVG and HTML: nothing in it is taken for markup; signs that no document may hold are left out. */
export const escapeXml = (text: string): string =>
  text.replace(/[&<>"']/g, (c) => `&#${c.charCodeAt(0)};`).replace(/(?![\t\n\r])\p{Cc}/gu, '')
