// Names beside ends, gear and holes, as text of the page: as many as find room.
import { Vector3 } from 'three';
import { element } from './data.js';
import { onScreen } from './pick.js';

const MOST = 70;
const MOST_WIDE = 224;  // pixels, as in the style sheet

export class Labels {
  constructor(room, holder) {
    this.holder = holder;
    this.on = true;
    this.entries = [];
    // Measured off the page: asking a span for its width would lay out the page for each.
    this.pen = document.createElement('canvas').getContext('2d');
    this.pen.font = `600 12px ${getComputedStyle(holder).fontFamily}`;
    const runsAt = new Map();
    room.runs.forEach((run, index) => {
      for (const end of [run.from, run.to]) {
        if (!runsAt.has(end)) runsAt.set(end, []);
        runsAt.get(end).push(index);
      }
    });
    room.ends.forEach((end, index) => {
      const runs = runsAt.get(index);
      if (runs && !end.gear) this.add(end.name, end.at, runs, 'end');
    });
    for (const gear of room.gear) {
      const at = [0, 1, 2].map((k) => gear.o[k] + 0.5 * (gear.u[k] * gear.size[0] + gear.v[k] * gear.size[1]) + gear.n[k] * gear.size[2]);
      this.add(gear.name, at, null, 'gear');
    }
    for (const hole of room.holes) this.add(hole.name, hole.at, hole.runs, 'hole');
  }

  add(text, at, runs, kind) { this.entries.push({ text, at, runs, kind, span: null, width: 0 }); }

  /** `wanted(runs)`: 2 name it first, 1 name it if there is room, 0 leave it out. */
  update(camera, size, wanted) {
    const placed = [];
    const p = new Vector3();
    const ranked = [];
    for (const entry of this.entries) {
      const rank = entry.runs ? wanted(entry.runs) : 1;
      onScreen(camera, size, entry.at, p);
      const seen = this.on && rank > 0 && p.z < 1 && p.x > 0 && p.y > 0 && p.x < size.x && p.y < size.y;
      if (seen) ranked.push({ entry, rank, x: p.x, y: p.y, z: p.z });
      else if (entry.span) entry.span.hidden = true;
    }
    ranked.sort((a, b) => b.rank - a.rank || (a.entry.kind === 'hole') - (b.entry.kind === 'hole') || a.z - b.z);
    for (const { entry, x, y } of ranked) {
      const box = placed.length < MOST && this.place(entry, x, y, size, placed);
      if (box) placed.push(box); else if (entry.span) entry.span.hidden = true;
    }
  }

  place(entry, x, y, size, placed) {
    if (!entry.span) {
      entry.span = element('span', { class: `label ${entry.kind}` }, entry.text);
      this.holder.append(entry.span);
    }
    const w = entry.width ||= Math.min(MOST_WIDE, this.pen.measureText(entry.text).width + 10);
    const h = 18;
    for (const [dx, dy] of [[8, -h - 4], [8, 5], [-w - 8, -h - 4], [-w - 8, 5], [-w / 2, -h - 12]]) {
      const box = [x + dx, y + dy, x + dx + w, y + dy + h];
      if (box[0] < 2 || box[1] < 2 || box[2] > size.x - 2 || box[3] > size.y - 2) continue;
      if (placed.some((other) => box[0] < other[2] && other[0] < box[2] && box[1] < other[3] && other[1] < box[3])) continue;
      entry.span.hidden = false;
      entry.span.style.transform = `translate(${box[0].toFixed(1)}px, ${box[1].toFixed(1)}px)`;
      return box;
    }
    return null;
  }
}
