/** Small helpers for building elements. Text always goes in as text, never as markup. */

type Child = Node | string
type Attributes = Record<string, string | number | boolean | ((event: never) => void) | undefined>

/**
 * An element with attributes and children. `class`, `aria-…` and the like are attributes; a function under
 * `onclick`, `oninput` … becomes a listener; true is an empty attribute, false and undefined are left out.
 */
export function el<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...children: Child[]
): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag)
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === 'function') element.addEventListener(name.replace(/^on/, ''), value as EventListener)
    else if (value === true) element.setAttribute(name, '')
    else if (value !== undefined && value !== false) element.setAttribute(name, String(value))
  }
  element.append(...children)
  return element
}

/** An SVG element with attributes. */
export function svg<K extends keyof SVGElementTagNameMap>(
  tag: K,
  attributes: Record<string, string | number> = {},
  ...children: Child[]
): SVGElementTagNameMap[K] {
  const element = document.createElementNS('http://www.w3.org/2000/svg', tag)
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value))
  element.append(...children)
  return element
}

/** The element with this id; the page is broken without it. */
export function must(id: string): HTMLElement {
  const element = document.getElementById(id)
  if (!element) throw new Error(`The page has no element #${id}.`)
  return element
}

/** A function that runs `work` once per display frame at most, with the newest state of things. */
export function oncePerFrame(work: () => void): () => void {
  let asked = false
  return () => {
    if (asked) return
    asked = true
    requestAnimationFrame(() => {
      asked = false
      work()
    })
  }
}

/**
 * Makes a change that may hide or disable the button that has the focus; then `next` gets the focus, for it would
 * otherwise be lost to those who work by keyboard.
 */
export function keepFocus(
  buttons: readonly HTMLButtonElement[],
  change: () => void,
  next: () => HTMLElement,
) {
  const held = buttons.find((button) => button === document.activeElement)
  change()
  if (held && (held.disabled || held.hidden)) next().focus()
}

/** Ids for labels, unique in the page. */
let ids = 0
export const freshId = (stem: string): string => `${stem}-${++ids}`

export const reducedMotion = (): boolean => matchMedia('(prefers-reduced-motion: reduce)').matches
