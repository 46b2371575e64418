// What the page carries, unpacked: lengths in metres, room frame, Z up.
import { strFromU8, unzlibSync } from 'fflate';

const TENTH = 1e-4;

const bytesOf = (packed) => Uint8Array.from(atob(packed), (c) => c.charCodeAt(0));

/** zlib's format in base64 -> text. */
export async function inflated(packed) {
  const stream = new Blob([bytesOf(packed)]).stream().pipeThrough(new DecompressionStream('deflate'));
  return new Response(stream).text();
}

/** The same at once, for what cannot wait. */
export const inflatedNow = (packed) => strFromU8(unzlibSync(bytesOf(packed)));

const point = (p) => p.map((x) => x * TENTH);
const direction = (d) => d.map((x) => x * 1e-6);

/** Differences to the point before -> a flat list of coordinates. */
function line(differences) {
  const out = new Float32Array(differences.length);
  const last = [0, 0, 0];
  for (let i = 0; i < differences.length; ++i) {
    last[i % 3] += differences[i];
    out[i] = last[i % 3] * TENTH;
  }
  return out;
}

function inMetres(room) {
  for (const key of ['low', 'high', 'listener']) if (room[key]) room[key] = point(room[key]);
  room.floor *= TENTH;
  for (const sheet of room.sheets) {
    sheet.o = point(sheet.o);
    for (const key of ['u', 'v', 'n']) sheet[key] = direction(sheet[key]);
    sheet.rings = sheet.rings.map(point);
  }
  for (const tile of room.tiles) tile.p = line(tile.p);
  for (const part of room.parts) part.p = line(part.p);
  for (const gear of room.gear) {
    gear.o = point(gear.o);
    gear.size = point(gear.size);
    for (const key of ['u', 'v', 'n']) gear[key] = direction(gear[key]);
  }
  for (const end of room.ends) end.at = point(end.at);
  for (const run of room.runs) {
    run.line = line(run.line);
    run.d *= TENTH;
    run.drawn *= TENTH;
    run.cut *= TENTH;
    run.lead *= TENTH;  // ready-made, never cut; 0: none
    for (const addend of run.addends) addend[1] *= TENTH;
  }
  for (const bar of room.bars) {
    bar.a = point(bar.a);
    bar.b = point(bar.b);
    bar.w = direction(bar.w);
    bar.size = point(bar.size);
  }
  for (const hole of room.holes) {
    hole.at = point(hole.at);
    hole.n = direction(hole.n);
    hole.d *= TENTH;
  }
  return room;
}

/** The room, its runs and all that is shown. */
export async function readRoom() {
  return inMetres(JSON.parse(await inflated(document.getElementById('room-data').textContent)));
}

/** "4.90 m" or "16 ft 0 15/16 in", as the rest of the page has it. */
export function lengthText(metres, units, decimals = 2) {
  if (units === 'metric') return `${metres.toFixed(decimals)} m`;
  let sixteenths = Math.round(Math.abs(metres) / 0.0254 * 16);
  const feet = Math.floor(sixteenths / 192);
  sixteenths -= feet * 192;
  let above = sixteenths % 16;
  let below = 16;
  while (above > 0 && above % 2 === 0) { above /= 2; below /= 2; }
  const inches = `${Math.floor(sixteenths / 16)}${above ? ` ${above}/${below}` : ''} in`;
  return `${metres < 0 ? '-' : ''}${feet ? `${feet} ft ` : ''}${inches}`;
}

/** An element with attributes and children; text is never read as markup. */
export function element(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === undefined) continue;
    if (name.startsWith('on')) made.addEventListener(name.slice(2), value);
    else made.setAttribute(name, value === true ? '' : value);
  }
  made.append(...children);
  return made;
}

/** A short stroke in a service's colour and dash. */
export function swatch(service) {
  const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
  const stroke = document.createElementNS('http://www.w3.org/2000/svg', 'path');
  svg.setAttribute('class', service.colour === '#000000' ? 'swatch' : 'swatch hued');
  svg.setAttribute('viewBox', '0 0 20 4');
  svg.setAttribute('aria-hidden', 'true');
  stroke.setAttribute('d', 'M0 2H20');
  stroke.setAttribute('stroke', service.colour === '#000000' ? 'currentColor' : service.colour);
  stroke.style.setProperty('--hue', service.colour);
  stroke.setAttribute('stroke-width', '2.6');
  stroke.setAttribute('stroke-dasharray', service.dash.join(' '));
  svg.append(stroke);
  return svg;
}
