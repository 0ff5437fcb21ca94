/** Views far below the screen are not redrawn: a slider step need not pay for what nobody sees. */

export interface Nearness {
  /** Whether the view is on the screen or not far from it. */
  readonly near: boolean
  destroy(): void
}

/** Watches a view; `changed` is called whenever it comes within `margin` (px) of the screen or leaves. */
export function followNearness(root: Element, changed: () => void, margin = 400): Nearness {
  let near = false
  const observer = new IntersectionObserver(
    (entries) => {
      near = entries.some(({ isIntersecting }) => isIntersecting)
      changed()
    },
    { rootMargin: `${margin}px` },
  )
  observer.observe(root)
  return {
    get near() {
      return near
    },
    destroy: () => observer.disconnect(),
  }
}
