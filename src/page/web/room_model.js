// The room itself: walls that hide when they stand in the way, the ceiling that lifts, furniture,
// gear, raceway, holes and ends.
import {
  BoxGeometry, BufferAttribute, BufferGeometry, Color, DoubleSide, EdgesGeometry, Float32BufferAttribute,
  Group, InstancedMesh, LineBasicMaterial, LineSegments, Matrix4, Mesh, MeshBasicMaterial,
  MeshLambertMaterial, RingGeometry, ShapeUtils, SphereGeometry, Vector2, Vector3,
} from 'three';

const UP_THERE = ['suspended ceiling', 'ceiling'];
const SEE_THROUGH = ['window', 'curtain', 'vent'];
const MOST_EDGED = 3000;  // triangles of a part whose edges are still drawn

const TONES = {
  light: {
    back: '#eef1f0', wall: '#f4f1ea', floor: '#e2d8c6', ceiling: '#fbfaf6', line: '#5d6468',
    ghost: '#9aa1a3', part: '#c3b9a8', seat: '#9aa5ad', door: '#c8ad8c', window: '#a9c6d6',
    gear: '#59636b', raceway: '#ffffff', support: '#5b5b5b', hole: '#1d1f21', end: '#1d1f21',
  },
  dark: {
    back: '#15191c', wall: '#3b4246', floor: '#4a443a', ceiling: '#454b4f', line: '#aab3b6',
    ghost: '#6d777b', part: '#6b6456', seat: '#59636b', door: '#6e5b45', window: '#4d6673',
    gear: '#8a959c', raceway: '#c9cfd2', support: '#b4b4b4', hole: '#f4f1ea', end: '#f4f1ea',
  },
};

const vector = (p) => new Vector3(p[0], p[1], p[2]);

function sheetGeometry(sheet) {
  const rings = sheet.rings.map((ring) => {
    const out = [];
    for (let i = 0; i < ring.length; i += 2) out.push(new Vector2(ring[i], ring[i + 1]));
    return out;
  });
  const corners = ShapeUtils.triangulateShape(rings[0], rings.slice(1)).flat();
  const [o, u, v] = [sheet.o, sheet.u, sheet.v].map(vector);
  const world = (p) => o.clone().addScaledVector(u, p.x).addScaledVector(v, p.y);
  const points = rings.flat().map(world);
  const edges = rings.flatMap((ring) => ring.flatMap((p, i) => [world(p), world(ring[(i + 1) % ring.length])]));
  const geometry = new BufferGeometry().setFromPoints(points);
  geometry.setIndex(corners);
  geometry.computeVertexNormals();
  return { geometry, edges: new BufferGeometry().setFromPoints(edges) };
}

/** Walls, floors and ceilings. Each hides, with what sits in it, while seen from behind. */
function addSheets(model, room, tones) {
  for (const sheet of room.sheets) {
    const up = UP_THERE.includes(sheet.role);
    const { geometry, edges } = sheetGeometry(sheet);
    const tone = sheet.role === 'floor' ? tones.floor : up || sheet.role === 'deck' ? tones.ceiling : tones.wall;
    const face = new Mesh(geometry, new MeshLambertMaterial({
      color: tone, side: DoubleSide, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 2,
    }));
    const outline = new LineSegments(edges, new LineBasicMaterial({ color: tones.line }));
    (up ? model.ceiling : model.root).add(face, outline);
    model.sheets.push({
      sheet, face, outline, up, with: [], o: vector(sheet.o), n: vector(sheet.n), deck: sheet.role === 'deck',
      middle: new Vector3(),
    });
  }
}

function addTiles(model, room, tones) {
  const points = [];
  for (const tile of room.tiles) {
    const count = tile.p.length / 3;
    for (let i = 0; i < count; ++i) {
      for (const k of [i, (i + 1) % count]) points.push(tile.p[3 * k], tile.p[3 * k + 1], tile.p[3 * k + 2]);
    }
  }
  if (points.length === 0) return;
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new Float32BufferAttribute(points, 3));
  model.ceiling.add(new LineSegments(geometry, new LineBasicMaterial({
    color: tones.ghost, transparent: true, opacity: 0.55,
  })));
}

function toneOf(role, tones) {
  return tones[role] ?? (role === 'curtain' ? tones.seat : role === 'outlet' || role === 'power' ? tones.gear : tones.part);
}

function addParts(model, room, tones) {
  const lowest = Math.min(room.high[2], ...room.sheets.filter((s) => s.role === 'suspended ceiling').map((s) => s.o[2]));
  for (const part of room.parts) {
    const geometry = new BufferGeometry();
    geometry.setAttribute('position', new BufferAttribute(part.p, 3));
    geometry.setIndex(part.t);
    geometry.computeBoundingBox();
    const above = geometry.boundingBox.min.z > lowest - 0.2;
    const clear = above || SEE_THROUGH.includes(part.role);
    const mesh = new Mesh(geometry, new MeshLambertMaterial({
      color: toneOf(part.role, tones), side: DoubleSide, flatShading: true, transparent: clear,
      opacity: clear ? 0.3 : 1, depthWrite: !clear, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1,
    }));
    const group = new Group();
    group.add(mesh);
    if (part.t.length < 3 * MOST_EDGED) {
      group.add(new LineSegments(new EdgesGeometry(geometry, 30), new LineBasicMaterial({
        color: tones.line, transparent: true, opacity: clear ? 0.45 : 0.8,
      })));
    }
    (part.role === 'luminaire' ? model.ceiling : model.root).add(group);
    if (part.wall >= 0) model.sheets[part.wall].with.push(group);
    model.solids.push(mesh);
  }
}

function addGear(model, room, tones) {
  for (const gear of room.gear) {
    const box = new BoxGeometry(...gear.size);
    box.translate(gear.size[0] / 2, gear.size[1] / 2, gear.size[2] / 2);
    box.applyMatrix4(new Matrix4().makeBasis(vector(gear.u), vector(gear.v), vector(gear.n)).setPosition(vector(gear.o)));
    const mesh = new Mesh(box, new MeshLambertMaterial({ color: tones.gear, transparent: true, opacity: 0.55, depthWrite: false }));
    model.root.add(mesh, new LineSegments(new EdgesGeometry(box), new LineBasicMaterial({ color: tones.line })));
    model.solids.push(mesh);
  }
}

/** Straight bars of one kind, as one instanced box. */
function addBars(model, room, kind, tone, opacity) {
  const bars = room.bars.filter((bar) => bar.kind === kind);
  if (bars.length === 0) return;
  const mesh = new InstancedMesh(new BoxGeometry(1, 1, 1), new MeshLambertMaterial({
    color: tone, transparent: opacity < 1, opacity, depthWrite: opacity >= 1,
  }), bars.length);
  const matrix = new Matrix4();
  bars.forEach((bar, i) => {
    const along = vector(bar.b).sub(vector(bar.a));
    const across = vector(bar.w);
    const off = new Vector3().crossVectors(along, across).normalize();
    matrix.makeBasis(along, across.multiplyScalar(bar.size[0]), off.multiplyScalar(bar.size[1]));
    matrix.setPosition(vector(bar.a).add(vector(bar.b)).multiplyScalar(0.5));
    mesh.setMatrixAt(i, matrix);
  });
  mesh.renderOrder = opacity < 1 ? 1 : 0;
  mesh.frustumCulled = false;
  model.root.add(mesh);
}

function addHoles(model, room, tones) {
  for (const hole of room.holes) {
    const radius = Math.max(hole.d / 2, 0.012);
    const ring = new Mesh(new RingGeometry(radius, radius + 0.018, 24), new MeshBasicMaterial({
      color: hole.existing ? tones.ghost : tones.hole, side: DoubleSide, polygonOffset: true, polygonOffsetFactor: -2, polygonOffsetUnits: -2,
    }));
    ring.position.copy(vector(hole.at));
    ring.lookAt(vector(hole.at).add(vector(hole.n)));
    model.root.add(ring);
  }
}

/** A ball at each end that is not at gear; an open one where the end is left coiled. */
function addEnds(model, room, tones) {
  const used = new Set(room.runs.flatMap((run) => [run.from, run.to]));
  const ball = new SphereGeometry(0.04, 14, 10);
  room.ends.forEach((end, i) => {
    if (!used.has(i) || end.gear) return;
    const mesh = new Mesh(ball, new MeshLambertMaterial({ color: tones.end, wireframe: end.coiled }));
    mesh.position.copy(vector(end.at));
    model.root.add(mesh);
  });
}

/** Everything but the cables. */
export function makeRoom(room, dark) {
  const tones = TONES[dark ? 'dark' : 'light'];
  const model = { root: new Group(), ceiling: new Group(), sheets: [], solids: [], back: new Color(tones.back), tones };
  model.root.add(model.ceiling);
  addSheets(model, room, tones);
  addTiles(model, room, tones);
  addParts(model, room, tones);
  addGear(model, room, tones);
  addBars(model, room, 'Raceway', tones.raceway, 0.4);
  addBars(model, room, 'Supports', tones.support, 1);
  addHoles(model, room, tones);
  addEnds(model, room, tones);
  return model;
}

/** Hides what stands between the viewer and the room; moves the ceiling. Returns which faces are hidden. */
export function updateRoom(model, eye, lift) {
  model.ceiling.position.z = lift;
  const from = new Vector3();
  const hidden = [];
  model.sheets.forEach((entry, index) => {
    const height = entry.up ? lift : 0;
    from.copy(eye).sub(entry.o);
    from.z -= height;
    const facing = from.dot(entry.n) > 0 && !(entry.deck && lift > 0);
    entry.face.visible = facing;
    if (!facing) hidden.push(index);
    entry.outline.material.color.set(facing ? model.tones.line : model.tones.ghost);
    for (const part of entry.with) part.visible = facing;
  });
  return hidden;
}
