// Below the stage: how to look, the ceiling, the pull order, measuring, and the keys.
import { element, lengthText } from './data.js';

function looks(stage) {
  const buttons = [['Turn', false], ['Walk', true]].map(([name, walking]) => element('button', {
    'aria-pressed': String(!walking), 'data-look': name.toLowerCase(), onclick: () => look(walking),
  }, name));
  const pad = element('span', { class: 'pad', hidden: true }, ...[['↑', 0.4, 0, 'Forward'], ['↓', -0.4, 0, 'Back'], ['←', 0, -0.4, 'Left'], ['→', 0, 0.4, 'Right']]
    .map(([sign, forward, side, name]) => element('button', { 'aria-label': `${name} a step`, onclick: () => { stage.rig.step(forward, side); stage.draw(); } }, sign)));
  function look(walking) {
    stage.rig.walk(walking);
    buttons.forEach((button, i) => button.setAttribute('aria-pressed', String(walking === (i === 1))));
    pad.hidden = !walking;
    stage.draw();
  }
  const home = element('button', { onclick: () => { stage.rig.home(); stage.draw(); } }, 'Whole room');
  return { parts: [...buttons, home, pad], toggle: () => look(!stage.rig.walking) };
}

function ceiling(stage) {
  const slide = element('input', { type: 'range', min: '0', max: '150', value: '0', oninput: () => { stage.lift = slide.value / 100; stage.draw(); } });
  return element('label', { class: 'slide' }, 'Lift the ceiling', slide);
}

function names(stage) {
  const box = element('input', { type: 'checkbox', checked: true, onchange: () => { stage.labels.on = box.checked; stage.draw(); } });
  return element('label', {}, box, ' Names');
}

function pullOrder(stage) {
  const { steps } = stage.room;
  const words = element('output', { 'aria-live': 'polite' });
  const go = (way) => stage.goTo(stage.step + way);
  const update = () => {
    words.textContent = stage.step < 0 ? `${steps.length} steps` : `${stage.step + 1} of ${steps.length}: ${steps[stage.step].text}`;
  };
  stage.addEventListener('select', update);
  update();
  return { back: () => go(-1), on: () => go(1), parts: [element('span', {}, 'Pull order'),
    element('button', { onclick: () => go(-1), 'aria-label': 'Step back in the pull order' }, '◀'),
    element('button', { onclick: () => go(1), 'data-step': 'on', 'aria-label': 'Next step of the pull order' }, '▶'), words] };
}

/** Between two places that are clicked, or chosen by name. */
function measuring(stage) {
  const { room } = stage;
  const places = [...room.ends.map((end) => [end.name, end.at]), ...room.holes.map((hole) => [`hole ${hole.name}`, hole.at])];
  const said = element('output', { 'aria-live': 'polite', 'data-measure': '' });
  let picked = [];
  const tell = (a, b) => {
    const way = [0, 1, 2].map((k) => Math.abs(b[k] - a[k]));
    const text = (metres) => lengthText(metres, room.units, 3);
    said.textContent = `${text(Math.hypot(...way))} straight · ${text(way[0])} and ${text(way[1])} level · ${text(way[2])} plumb`;
    stage.measure(a, b);
  };
  const toggle = element('button', { 'aria-pressed': 'false', onclick: () => set(!api.on) }, 'Measure');
  const selects = ['From', 'To'].map((name) => element('select', { 'aria-label': `Measure ${name.toLowerCase()}`, onchange: choose },
    element('option', { value: '' }, `${name} …`), ...places.map(([text], i) => element('option', { value: i }, text))));
  function choose() {
    if (selects.every((select) => select.value !== '')) tell(...selects.map((select) => places[select.value][1]));
  }
  const named = element('span', { class: 'named', hidden: true }, ...selects);
  function set(on) {
    api.on = on;
    picked = [];
    toggle.setAttribute('aria-pressed', String(on));
    named.hidden = !on;
    said.textContent = on ? 'Click two points, or choose two by name.' : '';
    if (!on) stage.measure();
  }
  const api = { on: false, set, parts: [toggle, named, said], click: (x, y) => {
    const at = stage.pointUnder(x, y);
    if (!at) return;
    picked = picked.length === 2 ? [at] : [...picked, at];
    if (picked.length === 2) tell(...picked); else said.textContent = 'And the second point?';
  } };
  return api;
}

const KEYS = [
  ['Arrows', 'turn the room; when walking: step and look'], ['Shift + arrows', 'push the room aside'],
  ['W A S D', 'step'], ['+ −', 'nearer, farther'], ['Home', 'the whole room'], ['N P', 'next, previous run'],
  ['[ ]', 'back and on in the pull order'], ['V', 'turn or walk'], ['M', 'measure'], ['Esc', 'show all runs'],
];

export function makeTools(stage, holder) {
  const looking = looks(stage);
  const order = pullOrder(stage);
  const ruler = measuring(stage);
  const row = (...parts) => element('div', { class: 'tools', role: 'group' }, ...parts);
  const keys = element('dl', { id: 'keys' }, ...KEYS.flatMap(([key, what]) => [element('dt', {}, key), element('dd', {}, what)]));
  holder.append(row(...looking.parts, ceiling(stage), names(stage)), row(...order.parts), row(...ruler.parts),
    element('details', {}, element('summary', {}, 'Keys in the room'), keys));
  const next = (way) => {
    const count = stage.room.runs.length;
    if (count) stage.select(((stage.selected < 0 ? (way > 0 ? -1 : 0) : stage.selected) + way + count) % count);
  };
  return { ruler, actions: {
    n: () => next(1), p: () => next(-1), '[': order.back, ']': order.on, v: looking.toggle,
    m: () => ruler.set(!ruler.on), Escape: () => { ruler.set(false); stage.select(-1); },
  } };
}
