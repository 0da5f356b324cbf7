// How the solid is inked: paper tone lit from the upper left, with level hatching in the shade as an engraver would cut it.

export const SOLID_VERTEX = /* glsl */ `
attribute float quantity;
varying vec3 vPlace;
varying vec3 vSeen;
varying float vQuantity;
void main() {
  vPlace = position;
  vQuantity = quantity;
  vec4 seen = modelViewMatrix * vec4(position, 1.0);
  vSeen = seen.xyz;
  gl_Position = projectionMatrix * seen;
}`

export const SOLID_FRAGMENT = /* glsl */ `
uniform vec3 lit;
uniform vec3 shade;
uniform vec3 ink;
uniform vec3 accent;
uniform sampler2D scale;
// 0: plain; 1: the quantity of each vertex, as a share of its range; 2: the quantity of each height.
uniform float paint;
uniform sampler2D heights;
uniform float topMm;
uniform float pxPerMm;
uniform float hatchMm;
uniform float scrubMm;
uniform vec2 band;
varying vec3 vPlace;
varying vec3 vSeen;
varying float vQuantity;
void main() {
  vec3 n = normalize(cross(dFdx(vSeen), dFdy(vSeen)));
  float light = clamp(dot(n, normalize(vec3(-0.52, 0.62, 0.6))), 0.0, 1.0);
  float fill = 0.5 + 0.5 * n.z;
  float tone = clamp(0.78 * light + 0.3 * fill, 0.0, 1.0);
  vec3 colour = mix(shade, lit, tone);
  float hatchStrength = 0.75;
  if (paint > 0.5) {
    vec4 level = texture2D(heights, vec2(clamp(vPlace.z / topMm, 0.0, 1.0), 0.5));
    bool known = paint > 1.5 ? level.a > 0.5 : vQuantity >= 0.0;
    float t = paint > 1.5 ? level.r : clamp(vQuantity, 0.0, 1.0);
    vec3 painted = texture2D(scale, vec2(t * 255.0 / 256.0 + 0.5 / 256.0, 0.5)).rgb;
    colour = known ? painted * (0.62 + 0.46 * tone) : mix(shade, lit, 0.35 + 0.3 * tone);
    hatchStrength = 0.16;
  }
  float wave = abs(fract(vPlace.z / hatchMm) - 0.5) * 2.0;
  float cover = clamp((0.62 - tone) * 1.25, 0.0, 0.8);
  float soft = 1.6 / (hatchMm * pxPerMm);
  float line = 1.0 - smoothstep(cover - soft, cover + soft, wave);
  colour = mix(colour, ink, line * hatchStrength * step(0.02, cover));
  if (vPlace.z > band.x && vPlace.z < band.y) colour = mix(colour, accent, 0.28);
  float away = abs(vPlace.z - scrubMm) * pxPerMm;
  colour = mix(accent, colour, smoothstep(0.5, 1.4, away));
  gl_FragColor = vec4(colour, 1.0);
}`

/** The outline: back faces grown by a little in the plane of the sheet, in plain ink. */
export const OUTLINE_VERTEX = /* glsl */ `
uniform float growMm;
void main() {
  vec4 seen = modelViewMatrix * vec4(position, 1.0);
  vec3 n = normalize(normalMatrix * normal);
  seen.xy += normalize(n.xy + vec2(1e-6)) * growMm;
  seen.z -= growMm * 2.0;
  gl_Position = projectionMatrix * seen;
}`

export const OUTLINE_FRAGMENT = /* glsl */ `
uniform vec3 ink;
void main() { gl_FragColor = vec4(ink, 1.0); }`
