/** GLSL of the stage. Colours are worked out in display space and written as they are. Lengths in mm. */

const head = 'precision highp float;\nprecision highp int;\n'
const camera = 'uniform mat4 projectionMatrix;\nuniform mat4 modelViewMatrix;\n'

/** Row i of the profile: radius, height, slope dy/dr, place in the colour table. */
const profile = `uniform highp sampler2D profile;
uniform float last;
vec4 rowOf(float row) { return texelFetch(profile, ivec2(int(min(row, last) + 0.5), 0), 0); }
/** n/n0 and row of the film table. */
vec2 filmOf(float row) { return texelFetch(profile, ivec2(int(min(row, last) + 0.5), 1), 0).xy; }
`

/**
 * Colours of a film table, in light as it adds up: fringes finer than a pixel have their mean. Laid on flat, since any
 * shading would falsify them. optics: bend (mm), scale, columns; all 0 where the colours are no film's.
 */
const filmColour = `precision highp sampler2DArray;
uniform sampler2DArray film;
uniform vec3 optics;
vec3 encoded(vec3 c) { return mix(12.92 * c, 1.055 * pow(c, vec3(1.0 / 2.4)) - 0.055, step(0.0031308, c)); }
vec3 filmColour(float place, float row) {
  float x = (place * (optics.z - 1.0) + 0.5) / optics.z;
  float lower = floor(row);
  return encoded(mix(
    texture(film, vec3(x, 0.5, lower)).rgb, texture(film, vec3(x, 0.5, lower + 1.0)).rgb, row - lower));
}
`

/**
 * The film in strips, one instance each, from column gl_InstanceID to the next; `columns` of them make a half disc, and a
 * second half is the first turned round. Column j of `wave`: displacement of the edge
 * (−1 … 1) and its derivative along the angle. The ring's outer half moves with the edge and its excess over the thin spot
 * grows and shrinks with its base, so that bulges stand out where necks are thin. bead: amplitude, half base, edge, radius
 * of the thin spot (mm); heights: mm per power of ten and bend, or factor and 0; thin: thickness of the thin spot, mm.
 */
export const filmVertex = `${head}${camera}${profile}
uniform highp sampler2D wave;
uniform float columns;
uniform vec4 bead;
uniform vec2 heights;
uniform float thin;
uniform vec3 optics;
in float row;
in float side;
out vec3 vNormal;
out float vPlace;
out float vRow;
float thicknessAt(float y) {
  return heights.y > 0.0 ? heights.y * (pow(10.0, y / heights.x) - 1.0) : y / heights.x;
}
float heightAt(float h) {
  return heights.y > 0.0 ? heights.x * log(1.0 + h / heights.y) / log(10.0) : heights.x * h;
}
/** d(height)/d(thickness). */
float steepness(float h) { return heights.y > 0.0 ? heights.x / (log(10.0) * (heights.y + h)) : heights.x; }
void main() {
  vec4 p = rowOf(row);
  float column = float(gl_InstanceID) + side;
  float angle = 3.14159265358979 * column / columns;
  vec2 direction = vec2(cos(angle), sin(angle));
  float r = p.x;
  float y = p.y;
  vec2 lie = filmOf(row);
  vPlace = p.w;
  vRow = lie.y;
  vec3 normal = vec3(-p.z, 1.0, 0.0);
  if (bead.x > 0.0) {
    vec2 c = texelFetch(wave, ivec2(int(column > columns ? column - columns + 0.5 : column + 0.5), 0), 0).xy;
    float middle = bead.z - bead.y;
    float swing = bead.x / bead.y;
    float moved = clamp((r - middle) / bead.y, 0.0, 1.0);
    float part = smoothstep(max(bead.w, middle - 1.5 * bead.y), middle, r);
    float h = thicknessAt(y);
    float excess = max(h - thin, 0.0);
    float grown = max(0.0, 1.0 + swing * c.x * part);
    float stands = h + excess * (grown - 1.0);
    r += bead.x * moved * c.x;
    y = heightAt(stands);
    if (optics.z > 0.0) vPlace = clamp(asinh(lie.x * stands / optics.x) / optics.y, 0.0, 1.0);
    float stretch = moved > 0.0 ? max(0.05, 1.0 + swing * c.x) : 1.0;
    float slope = p.z * steepness(stands) / steepness(h) * (h > thin ? grown : 1.0) / stretch;
    float along = (steepness(stands) * excess * swing * part * c.y - slope * bead.x * moved * c.y) / max(r, 1e-6);
    normal = vec3(-slope, 1.0, -along);
  }
  // Outwards, up and along the rim, to the picture's axes.
  normal = normalize(normal);
  vNormal = vec3(
    normal.x * direction.x - normal.z * direction.y, normal.y, -normal.x * direction.y - normal.z * direction.x);
  gl_Position = projectionMatrix * modelViewMatrix * vec4(r * direction.x, y, -r * direction.y, 1.0);
}`

export const filmFragment = `${head}${filmColour}
uniform sampler2D colours;
uniform vec3 light;
uniform vec3 eye;
uniform float gloss;
in vec3 vNormal;
in float vPlace;
in float vRow;
out vec4 colour;
void main() {
  if (optics.z > 0.0) {
    colour = vec4(filmColour(vPlace, vRow), 1.0);
    return;
  }
  vec3 n = normalize(vNormal);
  vec3 base = texture(colours, vec2((vPlace * 255.0 + 0.5) / 256.0, 0.5)).rgb;
  float lit = 0.5 + 0.5 * dot(n, light);
  float shine = pow(max(dot(n, normalize(light + eye)), 0.0), 60.0);
  float graze = pow(1.0 - max(dot(n, eye), 0.0), 3.0);
  vec3 shown = base * (0.74 + 0.32 * lit) + gloss * shine - 0.10 * graze;
  colour = vec4(shown, 1.0);
}`

export const cutVertex = `${head}${camera}${profile}
in float row;
in float side;
in float up;
out float vPlace;
out float vRow;
void main() {
  vec4 p = rowOf(row);
  vPlace = p.w;
  vRow = filmOf(row).y;
  gl_Position = projectionMatrix * modelViewMatrix * vec4(side * p.x, up * p.y, 0.02, 1.0);
}`

export const cutFragment = `${head}${filmColour}
uniform sampler2D colours;
in float vPlace;
in float vRow;
out vec4 colour;
void main() {
  if (optics.z > 0.0) {
    colour = vec4(filmColour(vPlace, vRow), 1.0);
    return;
  }
  colour = vec4(texture(colours, vec2((vPlace * 255.0 + 0.5) / 256.0, 0.5)).rgb, 1.0);
}`

/** kind: 0 surface of the bath, 1 its cut face, 2 cut glass, 3 glass seen through. */
export const bathVertex = `${head}${camera}
in vec3 place;
in float kind;
out vec3 vPlace;
flat out float vKind;
void main() {
  vPlace = place;
  vKind = kind;
  gl_Position = projectionMatrix * modelViewMatrix * vec4(place, 1.0);
}`

export const bathFragment = `${head}
uniform vec3 oil;
uniform vec3 deep;
uniform vec3 glass;
uniform vec3 lineColour;
uniform float dish;
uniform float depth;
uniform float edge;
uniform float halo;
uniform float ringStep;
uniform vec3 eye;
/** 0 where the bath must have the colour of the bare oil. */
uniform float shading;
in vec3 vPlace;
flat in float vKind;
out vec4 colour;
float near(float distance, float width) { return 1.0 - smoothstep(0.3 * width, width, abs(distance)); }
void main() {
  if (vKind > 2.5) {
    // The wall on this side would lie over the drop.
    if (dot(vPlace.xz, eye.xz) > 0.0) discard;
    colour = vec4(glass, 0.35);
    return;
  }
  if (vKind > 1.5) { colour = vec4(glass, 1.0); return; }
  if (vKind > 0.5) {
    float down = clamp(-vPlace.y / depth, 0.0, 1.0);
    colour = vec4(mix(mix(oil, deep, 0.30), deep, down), 1.0);
    return;
  }
  float r = length(vPlace.xz);
  if (r > dish) discard;
  float pixel = fwidth(r);
  vec3 shown = mix(oil, deep, shading * (0.10 + 0.16 * smoothstep(0.0, dish, -vPlace.z)));
  float ring = near(r - ringStep * floor(r / ringStep + 0.5), 1.2 * pixel) * step(0.5 * ringStep, r);
  shown = mix(shown, lineColour, 0.20 * ring);
  float shade = exp(-max(r - edge, 0.0) / halo);
  shown = mix(shown, deep, 0.45 * shading * shade);
  shown = mix(shown, glass, 0.6 * smoothstep(dish - 0.7, dish, r));
  colour = vec4(shown, 1.0);
}`

/** Streaks and dots: a quad per instance from one point to another, widened on the screen. look: opacity, half width in px, kind. */
export const streakVertex = `${head}${camera}
uniform vec2 viewport;
in vec2 corner;
in vec3 from;
in vec3 to;
in vec3 look;
out vec2 vSpot;
out float vLength;
flat out vec3 vLook;
void main() {
  vec4 a = projectionMatrix * modelViewMatrix * vec4(from, 1.0);
  vec4 b = projectionMatrix * modelViewMatrix * vec4(to, 1.0);
  vec2 start = a.xy * viewport;
  vec2 end = b.xy * viewport;
  vec2 along = end - start;
  float len = length(along);
  along = len > 1e-3 ? along / len : vec2(1.0, 0.0);
  vec2 across = vec2(-along.y, along.x);
  float radius = look.y + 1.0;
  vec2 at = (corner.x < 0.0 ? start : end) + radius * (corner.x * along + corner.y * across);
  vSpot = vec2(corner.x < 0.0 ? -radius : len + radius, corner.y * radius);
  vLength = len;
  vLook = look;
  gl_Position = vec4(at / viewport, mix(a.z, b.z, 0.5) - 0.0006, 1.0);
}`

export const streakFragment = `${head}
uniform vec3 filmColour;
uniform vec3 bathColour;
uniform vec3 childColour;
uniform vec3 childRim;
in vec2 vSpot;
in float vLength;
flat in vec3 vLook;
out vec4 colour;
void main() {
  float d = length(vec2(vSpot.x - clamp(vSpot.x, 0.0, vLength), vSpot.y));
  float cover = 1.0 - smoothstep(vLook.y - 0.5, vLook.y + 0.5, d);
  float fade = vLength > 1.0 && vLook.z < 1.5 ? mix(0.1, 1.0, clamp(vSpot.x / vLength, 0.0, 1.0)) : 1.0;
  vec3 child = mix(childColour, childRim, smoothstep(vLook.y - min(1.2, 0.5 * vLook.y), vLook.y - 0.2, d));
  vec3 base = vLook.z < 0.5 ? filmColour : vLook.z < 1.5 ? bathColour : vLook.z < 2.5 ? child : bathColour;
  float alpha = cover * vLook.x * (vLook.z < 1.5 ? fade : 1.0);
  if (alpha < 0.01) discard;
  colour = vec4(base, alpha);
}`
