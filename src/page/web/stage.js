// The room in 3D: draws when something has changed, and only then.
import {
  Box3, BufferGeometry, DirectionalLight, HemisphereLight, Line, LineBasicMaterial, Mesh,
  MeshBasicMaterial, Scene, SphereGeometry, Vector2, Vector3, WebGLRenderer,
} from 'three';
import { Rig } from './camera.js';
import { element } from './data.js';
import { Labels } from './labels.js';
import { nearestRun, pointAt } from './pick.js';
import { makeRoom, updateRoom } from './room_model.js';
import { makeTubes, pixel, setLook } from './tubes.js';

const said = (point) => point.toArray().map((x) => x.toFixed(3)).join(' ');
const MOST_SMOOTHED = 120000;  // coordinates of cable, past which edges are left rough for speed

export class Stage extends EventTarget {
  constructor(room, holder) {
    super();
    this.room = room;
    this.holder = holder;
    this.canvas = element('canvas', { tabindex: '0', role: 'application', 'aria-describedby': 'keys',
      'aria-label': 'The room in 3D. Arrow keys turn it; the keys are listed below.' });
    this.names = element('div', { class: 'labels', 'aria-hidden': 'true' });
    this.picture = element('img', { class: 'print-only', alt: 'The room with its runs' });
    holder.append(this.canvas, this.names, this.picture);
    this.renderer = new WebGLRenderer({ canvas: this.canvas, antialias: room.runs.reduce((sum, run) => sum + run.line.length, 0) < MOST_SMOOTHED });
    this.rig = new Rig(room);
    this.size = new Vector2(1, 1);
    this.selected = -1;
    this.hidden = new Set();  // services
    this.step = -1;           // of the pull order; -1: all of it
    this.lift = 0;
    this.waiting = false;
    this.labels = new Labels(room, this.names);
    this.build(isDark());
    new ResizeObserver(() => this.resize()).observe(holder);
    addEventListener('beforeprint', () => this.photograph());
  }

  /** Makes everything anew, in the colours of a theme. */
  build(dark) {
    this.model = makeRoom(this.room, dark);
    this.tubes = makeTubes(this.room, dark);
    this.scene = new Scene();
    this.scene.background = this.model.back;
    const sun = new DirectionalLight(0xffffff, 0.75);
    sun.position.set(0.4, -0.7, 1.4);
    this.scene.add(new HemisphereLight(0xffffff, 0xcfc8bc, 2.9), sun, this.model.root);
    for (const tube of this.tubes) if (tube) this.scene.add(tube);
    this.mark = new Mesh(new SphereGeometry(0.06, 16, 12), new MeshBasicMaterial({ color: 0xd55e00, depthTest: false, transparent: true, opacity: 0.8 }));
    this.mark.visible = false;
    this.rule = new Line(new BufferGeometry(), new LineBasicMaterial({ color: 0xd55e00, depthTest: false }));
    this.rule.frustumCulled = false;
    this.rule.visible = false;
    this.scene.add(this.mark, this.rule);
    this.show();
  }

  /** Is this run to be seen fully? */
  shown(index) {
    const run = this.room.runs[index];
    if (!this.tubes[index] || this.hidden.has(run.service)) return false;
    if (this.step >= 0) return this.stepOf[index] <= this.step;
    return this.selected < 0 || this.selected === index;
  }

  /** Applies what is selected, layered and stepped to. */
  show() {
    const now = this.step >= 0 ? this.room.steps[this.step].runs : [];
    let count = 0;
    this.tubes.forEach((tube, index) => {
      if (!tube) return;
      const full = this.shown(index);
      count += full ? 1 : 0;
      const faint = !full && this.step < 0 && !this.hidden.has(this.room.runs[index].service);
      tube.visible = full || faint;
      const chosen = full && (this.selected === index || now.includes(index));
      setLook(tube, chosen ? 'chosen' : faint ? 'faint' : 'full');
    });
    this.holder.dataset.shown = String(count);
    this.holder.dataset.selected = this.selected < 0 ? '' : this.room.runs[this.selected].id;
    this.draw();
  }

  select(index, look = false) {
    this.selected = index;
    this.step = -1;
    this.mark.visible = false;
    if (index >= 0 && look && this.tubes[index]) {
      this.rig.lookAt(new Box3().setFromArray(this.room.runs[index].line));
    }
    this.show();
    this.dispatchEvent(new Event('select'));
  }

  goTo(step) {
    if (!this.stepOf) {
      this.stepOf = new Array(this.room.runs.length).fill(Infinity);
      this.room.steps.forEach((entry, i) => entry.runs.forEach((run) => { this.stepOf[run] = Math.min(this.stepOf[run], i); }));
    }
    this.step = Math.max(-1, Math.min(this.room.steps.length - 1, step));
    this.selected = -1;
    this.show();
    this.dispatchEvent(new Event('select'));
  }

  point(at) {
    this.mark.position.set(...at);
    this.mark.visible = true;
    this.rig.lookAt(new Box3().setFromCenterAndSize(new Vector3(...at), new Vector3(1.4, 1.4, 1.4)));
    this.draw();
  }

  measure(a, b) {
    this.rule.visible = Boolean(a && b);
    if (a && b) this.rule.geometry.setFromPoints([new Vector3(...a), new Vector3(...b)]);
    this.draw();
  }

  runUnder(x, y) { return nearestRun(this.room, (i) => this.shown(i), this.rig.camera, this.size, x, y); }
  pointUnder(x, y) { return pointAt(this.room, (i) => this.shown(i), this.model, this.rig.camera, this.size, x, y); }

  resize() {
    const { clientWidth: w, clientHeight: h } = this.holder;
    if (w < 2 || h < 2) return;
    this.size.set(w, h);
    this.renderer.setPixelRatio(Math.min(2, devicePixelRatio));
    this.renderer.setSize(w, h, false);
    this.rig.resize(w / h);
    this.paint();
  }

  draw() {
    if (this.waiting) return;
    this.waiting = true;
    requestAnimationFrame(() => { this.waiting = false; this.paint(); });
  }

  paint() {
    if (this.size.x < 2) return;
    const { camera } = this.rig;
    pixel.value = 2 * Math.tan(camera.fov * Math.PI / 360) / this.size.y;
    const hidden = updateRoom(this.model, camera.position, this.lift);
    this.renderer.render(this.scene, camera);
    // What is drawn, for whoever looks at the page by a program.
    const { triangles, calls } = this.renderer.info.render;
    Object.assign(this.holder.dataset, { hidden: hidden.join(' '), lift: String(this.lift), triangles, calls,
      eye: said(camera.position), target: said(this.rig.target) });
    const now = this.step >= 0 ? this.room.steps[this.step].runs : this.selected >= 0 ? [this.selected] : null;
    this.labels.update(camera, this.size, (runs) => {
      if (now) return runs.some((run) => now.includes(run)) ? 2 : 0;
      return runs.some((run) => this.shown(run)) ? 1 : 0;
    });
    if (!this.holder.dataset.firstFrame) this.holder.dataset.firstFrame = performance.now().toFixed(0);
  }

  /** For paper, which is light. */
  photograph() {
    const dark = isDark();
    if (dark) this.build(false);
    this.paint();
    this.picture.src = this.canvas.toDataURL('image/png');
    if (dark) this.build(true);
  }
}

export function isDark() {
  const chosen = document.documentElement.dataset.theme;
  return chosen ? chosen === 'dark' : matchMedia('(prefers-color-scheme: dark)').matches;
}
