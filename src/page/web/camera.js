// Two ways to look: turning round the room from outside, and walking in it at eye height.
import { PerspectiveCamera, Vector3 } from 'three';

const EYE = 1.6;      // metres
const OUTSIDE = 38;   // degrees, of the picture's height
const INSIDE = 68;
const clamp = (x, low, high) => Math.min(high, Math.max(low, x));

export class Rig {
  constructor(room) {
    this.room = room;
    this.camera = new PerspectiveCamera(OUTSIDE, 1, 0.05, 400);
    this.camera.up.set(0, 0, 1);
    this.low = new Vector3(...room.low);
    this.high = new Vector3(...room.high);
    this.walking = false;
    this.home();
  }

  /** The whole room, from behind and to the right of whoever sits in it. */
  home() {
    this.target = this.low.clone().add(this.high).multiplyScalar(0.5);
    this.yaw = this.room.facing - Math.PI / 2 + 0.7;
    this.pitch = 0.62;
    this.centre();
    this.feet = this.room.listener ? new Vector3(...this.room.listener) : this.target.clone();
    this.look = this.room.facing + Math.PI / 2;
    this.nod = 0;
    this.place();
  }

  /** The room's box in the middle of the picture, as large as it goes: what is nearer looks larger, so its own middle is not. */
  centre() {
    for (let round = 0; round < 6; ++round) {
      this.distance = this.fit = this.needed(this.low, this.high);
      const { back, right, up } = this.axes();
      const sides = [Infinity, -Infinity, Infinity, -Infinity];
      for (const corner of this.corners(this.low, this.high)) {
        const deep = this.distance - corner.dot(back);
        const [x, y] = [corner.dot(right) / deep, corner.dot(up) / deep];
        sides[0] = Math.min(sides[0], x); sides[1] = Math.max(sides[1], x);
        sides[2] = Math.min(sides[2], y); sides[3] = Math.max(sides[3], y);
      }
      this.target.addScaledVector(right, (sides[0] + sides[1]) / 2 * this.distance).addScaledVector(up, (sides[2] + sides[3]) / 2 * this.distance);
    }
    this.distance = this.fit = this.needed(this.low, this.high);
    this.atHome = true;
  }

  axes() {
    const back = new Vector3(Math.cos(this.yaw) * Math.cos(this.pitch), Math.sin(this.yaw) * Math.cos(this.pitch), Math.sin(this.pitch));
    const right = new Vector3(-Math.sin(this.yaw), Math.cos(this.yaw), 0);
    return { back, right, up: new Vector3().crossVectors(back, right) };
  }

  /** Of a box, seen from the target. */
  corners(low, high) {
    return [0, 1, 2, 3, 4, 5, 6, 7].map((i) => new Vector3(i & 1 ? high.x : low.x, i & 2 ? high.y : low.y, i & 4 ? high.z : low.z).sub(this.target));
  }

  /** How far from the target all corners of a box are in the picture, with a little room about. */
  needed(low, high) {
    const { back, right, up } = this.axes();
    const tall = Math.tan(OUTSIDE * Math.PI / 360) * 0.92;
    const wide = tall * (this.camera.aspect || 1);
    let far = 0;
    for (const corner of this.corners(low, high)) {
      far = Math.max(far, corner.dot(back) + Math.max(Math.abs(corner.dot(right)) / wide, Math.abs(corner.dot(up)) / tall));
    }
    return far;
  }

  resize(aspect) {
    const share = this.distance / this.fit;
    this.camera.aspect = aspect;
    if (this.atHome && !this.walking) {
      this.target = this.low.clone().add(this.high).multiplyScalar(0.5);
      this.centre();
      this.camera.updateProjectionMatrix();
      this.place();
      return;
    }
    this.fit = this.needed(this.low, this.high);
    this.distance = this.fit * share;
    this.camera.updateProjectionMatrix();
    this.place();
  }

  walk(on) {
    this.walking = on;
    this.camera.fov = on ? INSIDE : OUTSIDE;
    this.camera.updateProjectionMatrix();
    this.place();
  }

  turn(dx, dy) {
    this.atHome = false;
    if (this.walking) {
      this.look -= dx;
      this.nod = clamp(this.nod - dy, -1.4, 1.4);
    } else {
      this.yaw -= dx;
      this.pitch = clamp(this.pitch + dy, -1.45, 1.5);
    }
    this.place();
  }

  /** Steps of the walker, or a push of the room to the side; metres. */
  step(forward, side) {
    this.atHome = false;
    if (this.walking) {
      this.feet.x += Math.cos(this.look) * forward + Math.sin(this.look) * side;
      this.feet.y += Math.sin(this.look) * forward - Math.cos(this.look) * side;
      this.feet.x = clamp(this.feet.x, this.low.x + 0.15, this.high.x - 0.15);
      this.feet.y = clamp(this.feet.y, this.low.y + 0.15, this.high.y - 0.15);
    } else {
      const right = new Vector3(-Math.sin(this.yaw), Math.cos(this.yaw), 0);
      const up = new Vector3().setFromMatrixColumn(this.camera.matrixWorld, 1);
      this.target.addScaledVector(right, side).addScaledVector(up, forward);
    }
    this.place();
  }

  zoom(factor) {
    if (this.walking) { this.step(factor < 1 ? 0.3 : -0.3, 0); return; }
    this.atHome = false;
    this.distance = clamp(this.distance * factor, 0.3, this.fit * 3);
    this.place();
  }

  /** Looks at a box of points, near enough to read it. */
  lookAt(box) {
    this.atHome = false;
    box.getCenter(this.target);
    this.distance = clamp(this.needed(box.min, box.max), Math.min(this.fit, Math.max(1.6, this.fit * 0.45)), this.fit);
    this.place();
  }

  place() {
    const { camera } = this;
    if (this.walking) {
      camera.position.set(this.feet.x, this.feet.y, this.room.floor + EYE);
      const flat = Math.cos(this.nod);
      camera.lookAt(camera.position.x + Math.cos(this.look) * flat, camera.position.y + Math.sin(this.look) * flat,
        camera.position.z + Math.sin(this.nod));
    } else {
      const flat = Math.cos(this.pitch) * this.distance;
      camera.position.set(this.target.x + Math.cos(this.yaw) * flat, this.target.y + Math.sin(this.yaw) * flat,
        this.target.z + Math.sin(this.pitch) * this.distance);
      camera.lookAt(this.target);
    }
    camera.updateMatrixWorld();
  }
}
