// What lies under the pointer: cables are thin, so they are sought on the screen and not by a ray.
import { Raycaster, Vector2, Vector3 } from 'three';

const REACH = 9;  // pixels

/** Projects to pixels of the stage; z is below 1 where it can be seen. */
export function onScreen(camera, size, p, out = new Vector3()) {
  out.set(p[0], p[1], p[2]).project(camera);
  out.x = (out.x + 1) / 2 * size.x;
  out.y = (1 - out.y) / 2 * size.y;
  return out;
}

/** The run nearest to a place on the screen: {run, at} or null. `shown` says which may be picked. */
export function nearestRun(room, shown, camera, size, x, y) {
  let best = null;
  let least = REACH;
  const a = new Vector3();
  const b = new Vector3();
  room.runs.forEach((run, index) => {
    if (!shown(index)) return;
    for (let i = 0; i + 5 < run.line.length; i += 3) {
      if (i === 0) onScreen(camera, size, run.line.subarray(0, 3), a); else a.copy(b);
      onScreen(camera, size, run.line.subarray(i + 3, i + 6), b);
      if (a.z > 1 || b.z > 1) continue;
      const dx = b.x - a.x;
      const dy = b.y - a.y;
      const share = Math.min(1, Math.max(0, ((x - a.x) * dx + (y - a.y) * dy) / Math.max(1e-9, dx * dx + dy * dy)));
      const away = Math.hypot(a.x + share * dx - x, a.y + share * dy - y);
      if (away >= least) continue;
      least = away;
      const at = [0, 1, 2].map((k) => run.line[i + k] + share * (run.line[i + 3 + k] - run.line[i + k]));
      best = { run: index, at };
    }
  });
  return best;
}

/** A point to measure from: an end or hole or cable close by, else the surface hit; or null. */
export function pointAt(room, shown, model, camera, size, x, y) {
  const corners = [...room.ends.map((end) => end.at), ...room.holes.map((hole) => hole.at)];
  let best = null;
  let least = 12;
  const p = new Vector3();
  for (const at of corners) {
    onScreen(camera, size, at, p);
    const away = Math.hypot(p.x - x, p.y - y);
    if (p.z < 1 && away < least) { least = away; best = at; }
  }
  if (best) return best;
  const cable = nearestRun(room, shown, camera, size, x, y);
  if (cable) return cable.at;
  const caster = new Raycaster();
  caster.setFromCamera(new Vector2(x / size.x * 2 - 1, 1 - y / size.y * 2), camera);
  const faces = [...model.sheets.filter((entry) => entry.face.visible).map((entry) => entry.face), ...model.solids];
  const hit = caster.intersectObjects(faces, false)[0];
  return hit ? hit.point.toArray() : null;
}
