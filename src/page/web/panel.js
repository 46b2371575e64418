// Beside the stage: the run that is looked at with its length, the layers, and all runs.
import { element, lengthText, swatch } from './data.js';

function lengthRows(run, units) {
  const rows = [['along the run', run.drawn], ...run.addends.filter(([, metres]) => Math.abs(metres) > 5e-5)];
  const body = rows.map(([name, metres], i) => element('tr', {},
    element('th', { scope: 'row' }, i === 0 ? name : `+ ${name}`), element('td', { class: 'n' }, lengthText(metres, units, 3))));
  const sum = element('tr', { class: 'sum' }, element('th', { scope: 'row' }, run.lead ? 'at least' : 'cut'), element('td', { class: 'n' }, lengthText(run.cut, units, 3)));
  const lead = run.lead ? [element('tr', {}, element('th', { scope: 'row' }, 'ready-made lead, never cut'), element('td', { class: 'n' }, lengthText(run.lead, units, 3)))] : [];
  return element('table', { class: 'addends' }, element('caption', {}, 'How its length comes about'), element('tbody', {}, ...body, sum, ...lead));
}

function details(stage, index) {
  const { room } = stage;
  const run = room.runs[index];
  const button = (i) => element('button', { class: 'run', 'data-run': i }, room.runs[i].id);
  const out = [element('h3', {}, `Run ${run.id}`),
    element('p', {}, `${room.ends[run.from].name} → ${room.ends[run.to].name}`),
    element('p', { class: 'hint' }, swatch(room.services[run.service]), ` ${room.services[run.service].name} · ${run.cable}${run.colour ? `, ${run.colour}` : ''} · ${run.state}`)];
  if (!run.routed) return [...out, element('p', { class: 'alarm' }, `No way was found: ${run.blocked}`)];
  out.push(lengthRows(run, room.units));
  const holes = room.holes.filter((hole) => hole.runs.includes(index)).map((hole) => `${hole.name} (${hole.where})`);
  out.push(element('p', {}, `${run.bends} bends of 15° and more${run.tight ? `, ${run.tight} tighter than its cable wants` : ''}${holes.length ? ` · through ${holes.join(', ')}` : ''}`));
  if (run.shares.length) {
    const shares = element('p', {}, 'Shares its way with ');
    run.shares.forEach((i, k) => shares.append(k ? ' ' : '', button(i)));
    out.push(shares);
  }
  return out;
}

function layers(stage) {
  const { room } = stage;
  const used = [...new Set(room.runs.map((run) => run.service))].sort((a, b) => a - b);
  const boxes = used.map((service) => {
    const count = room.runs.filter((run) => run.service === service).length;
    const box = element('input', { type: 'checkbox', checked: true, onchange: () => {
      if (box.checked) stage.hidden.delete(service); else stage.hidden.add(service);
      stage.show();
    } });
    return element('label', {}, box, swatch(room.services[service]), ` ${room.services[service].name} (${count})`);
  });
  return element('fieldset', { class: 'layers' }, element('legend', {}, 'Layers'), ...boxes);
}

function runList(stage) {
  const { room } = stage;
  const items = room.runs.map((run, index) => element('li', {}, element('button', { 'data-run': index, 'aria-pressed': 'false', class: 'row' },
    swatch(room.services[run.service]), element('b', {}, run.id), element('span', {}, room.ends[run.to].name),
    element('span', { class: 'n' }, run.routed ? lengthText(run.lead || run.cut, room.units) : 'no way'))));
  const list = element('ul', { class: items.length > 200 ? 'runs many' : 'runs' }, ...items);
  const words = room.runs.map((run) => [run.id, run.cable, run.colour, run.state, room.ends[run.from].name, room.ends[run.to].name, room.services[run.service].name].join(' ').toLowerCase());
  const filter = element('input', { type: 'search', placeholder: 'name, end, cable …', 'aria-label': 'Filter the runs', oninput: () => {
    const wanted = filter.value.toLowerCase().split(/\s+/).filter(Boolean);
    items.forEach((item, i) => { item.hidden = !wanted.every((word) => words[i].includes(word)); });
  } });
  list.addEventListener('keydown', (event) => {
    const way = { ArrowDown: 'nextElementSibling', ArrowUp: 'previousElementSibling' }[event.key];
    let item = way && event.target.closest('li')[way];
    while (item && item.hidden) item = item[way];
    if (item) { event.preventDefault(); item.firstChild.focus(); }
  });
  return { items, parts: [filter, list] };
}

export function makePanel(stage, holder) {
  const shown = element('div', { class: 'details', 'aria-live': 'polite' });
  const all = element('button', { class: 'all', hidden: true, onclick: () => stage.select(-1) }, 'Show all runs (Esc)');
  const { items, parts } = runList(stage);
  holder.append(shown, all, layers(stage), element('h3', {}, 'Runs'), ...parts);
  const update = () => {
    const index = stage.selected;
    all.hidden = index < 0 && stage.step < 0;
    shown.replaceChildren(...(index < 0 ? [element('p', { class: 'hint' }, 'Choose a run, here, in the room or in a list: it is shown alone, with how its length comes about.')] : details(stage, index)));
    items.forEach((item, i) => item.firstChild.setAttribute('aria-pressed', String(i === index)));
    items[index]?.scrollIntoView({ block: 'nearest' });
  };
  stage.addEventListener('select', update);
  update();
}
