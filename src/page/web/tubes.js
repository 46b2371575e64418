// Cables as round tubes with their true thickness, but never thinner on screen than can be seen.
import { BufferAttribute, BufferGeometry, Color, DoubleSide, Mesh, ShaderMaterial, Vector3 }
  from 'three';

const LEAST_PIXELS = 1.7;  // radius
const DASH_SCALE = 0.03;   // metres of cable a millimetre of the dash on paper
const MOST_DASHES = 6;

/** Shared by all tubes: metres on screen a pixel, at a distance of one metre. */
export const pixel = { value: 0.001 };
/** Shared: the light's direction toward it, in the camera's frame. */
const light = { value: new Vector3(0.3, 0.8, 0.6).normalize() };

const vertexShader = `
  attribute float along;
  uniform float radius, pixel, least;
  varying vec3 facing;
  varying float metres;
  void main() {
    vec4 centre = modelViewMatrix * vec4(position, 1.0);
    facing = normalMatrix * normal;
    metres = along;
    centre.xyz += facing * max(radius, least * pixel * -centre.z);
    gl_Position = projectionMatrix * centre;
  }`;
const fragmentShader = `
  uniform vec3 tone, gap, light;
  uniform float dashes[${MOST_DASHES}], period, opacity;
  varying vec3 facing;
  varying float metres;
  void main() {
    float shade = 0.66 + 0.34 * max(0.0, dot(normalize(facing), light));
    vec3 colour = tone;
    if (period > 0.0) {
      float at = mod(metres, period), end = 0.0;
      for (int i = 0; i < ${MOST_DASHES}; ++i) {
        end += dashes[i];
        if (at < end) { if (i - i / 2 * 2 == 1) colour = gap; break; }
      }
    }
    gl_FragColor = vec4(colour * shade, opacity);
  }`;

/** sRGB as it is: the shader writes what the screen takes. */
const asShown = (hex) => new Color().setStyle(hex, 'srgb-linear');
/** On dark ground colours are mixed with white, as the style sheet does with swatches. */
function toneOf(service, dark) {
  const tone = asShown(service.colour);
  return dark ? tone.lerp(asShown('#ffffff'), service.colour === '#000000' ? 1 : 0.3) : tone;
}

export function tubeMaterial(service, dark) {
  const dashes = new Array(MOST_DASHES).fill(0);
  service.dash.forEach((length, i) => { dashes[i] = length * DASH_SCALE; });
  return new ShaderMaterial({
    vertexShader, fragmentShader,
    uniforms: {
      radius: { value: 0.003 }, least: { value: LEAST_PIXELS }, pixel, light,
      tone: { value: toneOf(service, dark) },
      gap: { value: asShown(dark ? '#15191c' : '#ffffff') },
      dashes: { value: dashes }, period: { value: dashes.reduce((a, b) => a + b, 0) },
      opacity: { value: 1 },
    },
    side: DoubleSide,
  });
}

/** Corners of the triangles between rings. */
function ringCorners(count, sides) {
  const corners = new Uint32Array(Math.max(0, count - 1) * sides * 6);
  let n = 0;
  for (let i = 0; i + 1 < count; ++i) {
    for (let k = 0; k < sides; ++k) {
      const a = i * sides + k;
      const b = i * sides + (k + 1) % sides;
      corners[n++] = a; corners[n++] = b; corners[n++] = a + sides;
      corners[n++] = b; corners[n++] = b + sides; corners[n++] = a + sides;
    }
  }
  return corners;
}

/** Rings of `sides` corners along a line; the ring is carried along without twisting. */
function tubeGeometry(line, sides) {
  const count = line.length / 3;
  const position = new Float32Array(count * sides * 3);
  const normal = new Float32Array(count * sides * 3);
  const along = new Float32Array(count * sides);
  const here = new Vector3();
  const before = new Vector3();
  const after = new Vector3();
  const way = new Vector3();
  const across = new Vector3();
  const up = new Vector3();
  let metres = 0;
  let n = 0;
  for (let i = 0; i < count; ++i) {
    here.fromArray(line, 3 * i);
    before.copy(after);
    if (i > 0) metres += here.distanceTo(way.fromArray(line, 3 * i - 3));
    if (i + 1 < count) after.fromArray(line, 3 * i + 3).sub(here).normalize();
    way.copy(before).add(after);
    if (way.lengthSq() < 1e-9) way.copy(after);
    way.normalize();
    across.addScaledVector(way, -across.dot(way));
    if (across.lengthSq() < 1e-6) across.set(Math.abs(way.z) < 0.9 ? 0 : 1, 0, Math.abs(way.z) < 0.9 ? 1 : 0).cross(way);
    across.normalize();
    up.crossVectors(way, across);
    for (let k = 0; k < sides; ++k, n += 3) {
      const c = Math.cos(2 * Math.PI * k / sides);
      const s = Math.sin(2 * Math.PI * k / sides);
      position[n] = here.x; position[n + 1] = here.y; position[n + 2] = here.z;
      normal[n] = across.x * c + up.x * s;
      normal[n + 1] = across.y * c + up.y * s;
      normal[n + 2] = across.z * c + up.z * s;
      along[n / 3] = metres;
    }
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(position, 3));
  geometry.setAttribute('normal', new BufferAttribute(normal, 3));
  geometry.setAttribute('along', new BufferAttribute(along, 1));
  geometry.setIndex(new BufferAttribute(ringCorners(count, sides), 1));
  return geometry;
}

/** One mesh a run, in their order; null where a run has no way. */
export function makeTubes(room, dark) {
  const points = room.runs.reduce((sum, run) => sum + run.line.length / 3, 0);
  const sides = points > 40000 ? 3 : points > 12000 ? 5 : 8;
  return room.runs.map((run) => {
    if (run.line.length < 6) return null;
    const material = tubeMaterial(room.services[run.service], dark);
    material.uniforms.radius.value = run.d / 2;
    const mesh = new Mesh(tubeGeometry(run.line, sides), material);
    mesh.geometry.computeBoundingSphere();
    return mesh;
  });
}

/** Full; faint behind what is looked at; or chosen: thicker, and seen through whatever is before it. */
export function setLook(mesh, look) {
  const { material } = mesh;
  material.uniforms.opacity.value = look === 'faint' ? 0.08 : 1;
  material.uniforms.least.value = look === 'chosen' ? 1.5 * LEAST_PIXELS : LEAST_PIXELS;
  material.transparent = look !== 'full';
  material.depthWrite = look !== 'faint';
  material.depthTest = look !== 'chosen';
  mesh.renderOrder = { full: 0, faint: 2, chosen: 5 }[look];
}
