/**
 * Light reflected straight back by a clear film on a bath under air (three layers, no absorption). Indices are numbers,
 * lengths in m. The upper surface reflects r1 = (1 − n)/(1 + n), the lower one r2 = (n − N)/(n + N) of the amplitude
 * (Fresnel, n film, N bath); all the reflections between them add up to
 *
 *     R = |(r1 + r2 e^{iδ})/(1 + r1 r2 e^{iδ})|²,   δ = 4π n h/λ          (Airy)
 *       = 1 − T0 [1 + 2 Σ (−q)^m cos mδ],   q = r1 r2,   T0 = (1 − r1²)(1 − r2²)/(1 − q²)
 *
 * Born & Wolf, Principles of Optics, § 1.6. Where n lies between 1 and N both reflections turn the phase alike: no
 * thickness reflects like the bare bath, a quarter of a wave is the first dark fringe.
 */

/** Amplitudes reflected at the upper and the lower surface. */
const amplitudes = (film: number, bath: number): [number, number] => [
  (1 - film) / (1 + film),
  (film - bath) / (film + bath),
]

/** Reflectance (0–1) at the wavelength λ (m) of a film h (m) thick. */
export function reflectance(film: number, bath: number, wavelength: number, h: number): number {
  const [r1, r2] = amplitudes(film, bath)
  const cos = Math.cos((4 * Math.PI * film * h) / wavelength)
  const both = 2 * r1 * r2 * cos
  return (r1 * r1 + r2 * r2 + both) / (1 + both + r1 * r1 * r2 * r2)
}

/** Reflectance of the bare bath. */
export const bareReflectance = (bath: number): number => ((1 - bath) / (1 + bath)) ** 2

/** Mean over a whole fringe: what is left where fringes are too fine to be seen. */
export function meanReflectance(film: number, bath: number): number {
  const [r1, r2] = amplitudes(film, bath)
  return 1 - ((1 - r1 * r1) * (1 - r2 * r2)) / (1 - (r1 * r2) ** 2)
}

/** sin(x)/x */
const sinc = (x: number): number => (Math.abs(x) < 1e-8 ? 1 : Math.sin(x) / x)

/**
 * Mean reflectance of films from h − width/2 to h + width/2 in light around λ whose strength falls linearly to nothing at
 * λ ± band: what a row of a spectrum between its neighbours stands for. Terms beyond m = 2 are below 1e-6.
 * @param slope dn/dλ of the film, 1/m
 */
export function meanOver(
  film: number,
  slope: number,
  bath: number,
  wavelength: number,
  h: number,
  width: number,
  band: number,
): number {
  const [r1, r2] = amplitudes(film, bath)
  const q = r1 * r2
  const perThickness = (4 * Math.PI * film) / wavelength
  const delta = perThickness * h
  const spread = 0.5 * perThickness * width
  // dδ/dλ · band/2
  const blur = 0.5 * band * delta * (slope / film - 1 / wavelength)
  let sum = 1
  let power = 2
  for (let m = 1; m <= 2; m++) {
    power *= -q
    sum += power * Math.cos(m * delta) * sinc(m * spread) * sinc(m * blur) ** 2
  }
  return 1 - (((1 - r1 * r1) * (1 - r2 * r2)) / (1 - q * q)) * sum
}

/** Thickness from one fringe to the next, m. */
export const fringeStep = (film: number, wavelength: number): number => wavelength / (2 * film)

/**
 * Thickness of the first dark fringe, m: a quarter of a wave in the film where its index lies between air's and the
 * bath's, half a wave where it is above the bath's.
 */
export const firstDark = (film: number, bath: number, wavelength: number): number =>
  wavelength / (film < bath ? 4 * film : 2 * film)
