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
  uniform float radius, pixel;
  varying vec3 facing;
  varying float metres;
  void main() {
    vec4 centre = modelViewMatrix * vec4(position, 1.0);
    facing = normalMatrix * normal;
    metres = along;
    centre.xyz += facing * max(radius, ${LEAST_PIXELS.toFixed(1)} * pixel * -centre.z);
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

export function tubeMaterial(service, dark) {
  const dashes = new Array(MOST_DASHES).fill(0);
  service.dash.forEach((length, i) => { dashes[i] = length * DASH_SCALE; });
  const black = service.colour === '#000000';
  return new ShaderMaterial({
    vertexShader, fragmentShader,
    uniforms: {
      radius: { value: 0.003 }, pixel, light,
      tone: { value: asShown(black && dark ? '#ffffff' : service.colour) },
      gap: { value: asShown(dark ? '#202428' : '#ffffff') },
      dashes: { value: dashes }, period: { value: dashes.reduce((a, b) => a + b, 0) },
      opacity: { value: 1 },
    },
    side: DoubleSide,
  });
}

/** A direction square to d. */
function squareTo(d) {
  const other = Math.abs(d.z) < 0.9 ? new Vector3(0, 0, 1) : new Vector3(1, 0, 0);
  return new Vector3().crossVectors(other, d).normalize();
}

/** Rings of `sides` corners along a line; the ring is carried along without twisting. */
function tubeGeometry(line, sides) {
  const count = line.length / 3;
  const at = (i) => new Vector3(line[3 * i], line[3 * i + 1], line[3 * i + 2]);
  const position = new Float32Array(count * sides * 3);
  const normal = new Float32Array(count * sides * 3);
  const along = new Float32Array(count * sides);
  let across = null;
  let metres = 0;
  for (let i = 0; i < count; ++i) {
    const here = at(i);
    const before = i > 0 ? here.clone().sub(at(i - 1)) : null;
    const after = i + 1 < count ? at(i + 1).sub(here) : null;
    if (before) metres += before.length();
    const way = new Vector3();
    if (before) way.add(before.normalize());
    if (after) way.add(after.normalize());
    if (way.lengthSq() < 1e-9) way.copy(before ?? after ?? new Vector3(1, 0, 0));
    way.normalize();
    across = across ? across.addScaledVector(way, -across.dot(way)) : squareTo(way);
    if (across.lengthSq() < 1e-6) across = squareTo(way);
    across.normalize();
    const up = new Vector3().crossVectors(way, across);
    for (let k = 0; k < sides; ++k) {
      const turn = 2 * Math.PI * k / sides;
      const n = (i * sides + k) * 3;
      const c = Math.cos(turn);
      const s = Math.sin(turn);
      position.set([here.x, here.y, here.z], n);
      normal.set([across.x * c + up.x * s, across.y * c + up.y * s, across.z * c + up.z * s], n);
      along[i * sides + k] = metres;
    }
  }
  const corners = new Uint32Array(Math.max(0, count - 1) * sides * 6);
  for (let i = 0, n = 0; i + 1 < count; ++i) {
    for (let k = 0; k < sides; ++k, n += 6) {
      const a = i * sides + k;
      const b = i * sides + (k + 1) % sides;
      corners.set([a, b, a + sides, b, b + sides, a + sides], n);
    }
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(position, 3));
  geometry.setAttribute('normal', new BufferAttribute(normal, 3));
  geometry.setAttribute('along', new BufferAttribute(along, 1));
  geometry.setIndex(new BufferAttribute(corners, 1));
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

/** Full, or faint behind what is looked at. */
export function setFaint(mesh, faint) {
  mesh.material.uniforms.opacity.value = faint ? 0.13 : 1;
  mesh.material.transparent = faint;
  mesh.material.depthWrite = !faint;
  mesh.renderOrder = faint ? 2 : 0;
}
