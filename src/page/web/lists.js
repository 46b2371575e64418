// Tables: sort by a column, keep the rows that hold some words, one list at a time.
import { element } from './data.js';

const compare = new Intl.Collator('en', { numeric: true }).compare;

function keyOf(row, column) {
  const cell = row.cells[column];
  return cell?.dataset.v !== undefined ? Number(cell.dataset.v) : cell?.textContent ?? '';
}

/** Empty cells stay last, whichever way the column is sorted. */
function sorted(rows, column, down) {
  const keys = new Map(rows.map((row, i) => [row, [keyOf(row, column), i]]));
  return rows.sort((x, y) => {
    const [a, i] = keys.get(x);
    const [b, j] = keys.get(y);
    if (a === '' || b === '') return (a === '') - (b === '') || i - j;
    const order = typeof a === 'number' && typeof b === 'number' ? a - b : compare(String(a), String(b));
    return (down ? -order : order) || i - j;
  });
}

function makeSortable(table) {
  const body = table.tBodies[0];
  const heads = [...table.tHead.rows[0].cells];
  heads.forEach((head, column) => {
    const button = element('button', { class: 'sort', onclick: () => {
      const down = head.getAttribute('aria-sort') === 'ascending';
      heads.forEach((other) => other.removeAttribute('aria-sort'));
      head.setAttribute('aria-sort', down ? 'descending' : 'ascending');
      body.append(...sorted([...body.rows], column, down));
    } }, ...head.childNodes);
    head.append(button);
  });
}

function addFilter(list, table) {
  const rows = [...table.tBodies[0].rows];
  const count = list.querySelector('.count');
  const field = element('input', { type: 'search', placeholder: 'keep rows with …', 'aria-label': `Filter ${list.dataset.title}`, oninput: () => {
    const wanted = field.value.toLowerCase().split(/\s+/).filter(Boolean);
    let kept = 0;
    for (const row of rows) {
      const text = row.textContent.toLowerCase();
      row.hidden = !wanted.every((word) => text.includes(word));
      kept += row.hidden ? 0 : 1;
    }
    count.textContent = kept === rows.length ? String(kept) : `${kept} of ${rows.length}`;
  } });
  table.parentElement.before(field);
}

/** Buttons that choose which list is shown, on a phone one field instead; print shows them all. */
function addChooser(lists) {
  const buttons = lists.map((list) => element('button', { 'aria-pressed': 'false', onclick: () => choose(list) }, list.dataset.title));
  const field = element('select', { 'aria-label': 'Which list', onchange: () => choose(lists[field.selectedIndex]) },
    ...lists.map((list) => element('option', {}, list.dataset.title)));
  function choose(chosen) {
    lists.forEach((list, i) => {
      list.classList.toggle('away', list !== chosen);
      buttons[i].setAttribute('aria-pressed', String(list === chosen));
    });
    field.selectedIndex = lists.indexOf(chosen);
  }
  lists[0].before(element('div', { class: 'chooser', role: 'group', 'aria-label': 'Which list' }, ...buttons, field));
  choose(lists[0]);
  const byHash = () => {
    const wanted = lists.find((list) => `#${list.id}` === location.hash);
    if (wanted) choose(wanted);
  };
  addEventListener('hashchange', byHash);
  byHash();
}

export function enliven() {
  for (const table of document.querySelectorAll('main .scroll > table')) makeSortable(table);
  const lists = [...document.querySelectorAll('.list')];
  for (const list of lists) addFilter(list, list.querySelector('table'));
  if (lists.length > 1) addChooser(lists);
}
