import { element, readRoom } from './data.js';
import { takeKeys, takePointer } from './hands.js';
import { enliven } from './lists.js';
import { makePanel } from './panel.js';
import { showSheets } from './sheets.js';
import { isDark, Stage } from './stage.js';
import { makeTools } from './tools.js';

function pageTools(onTheme) {
  const words = () => (isDark() ? 'Light' : 'Dark');
  const theme = element('button', { onclick: () => {
    document.documentElement.dataset.theme = isDark() ? 'light' : 'dark';
    theme.textContent = words();
    onTheme();
  } }, words());
  document.getElementById('page-tools').append(theme, element('button', { onclick: () => print() }, 'Print'));
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => { theme.textContent = words(); onTheme(); });
}

function makeStage(room) {
  const holder = document.getElementById('stage');
  const view = element('div', { class: 'view' });
  const panel = element('aside', { class: 'panel', 'aria-label': 'Runs and layers' });
  const below = element('div', { class: 'below' });
  holder.append(view, below, panel);
  const stage = new Stage(room, view);
  makePanel(stage, panel);
  const tools = makeTools(stage, below);
  takePointer(stage, (x, y) => {
    stage.canvas.focus();
    if (tools.ruler.on) { tools.ruler.click(x, y); return; }
    const found = stage.runUnder(x, y);
    stage.select(found ? found.run : -1);
  });
  takeKeys(stage, tools.actions);
  document.addEventListener('click', (event) => {
    const button = event.target.closest?.('[data-run], [data-place]');
    if (!button) return;
    if (button.dataset.place) stage.point(JSON.parse(button.dataset.place).map((x) => x * 1e-4));
    else stage.select(Number(button.dataset.run), true);
    if (!holder.contains(button)) holder.scrollIntoView({ behavior: matchMedia('(prefers-reduced-motion: reduce)').matches ? 'auto' : 'smooth', block: 'center' });
  });
  document.addEventListener('keydown', (event) => {
    const alone = stage.selected >= 0 || stage.step >= 0 || tools.ruler.on;
    if (event.key === 'Escape' && alone && document.activeElement !== stage.canvas) tools.actions.Escape();
  });
  return stage;
}

enliven();
showSheets();
let stage = null;
pageTools(() => stage?.build(isDark()));
readRoom().then((room) => { stage = makeStage(room); }).catch((fault) => {
  document.getElementById('stage').append(element('p', { class: 'alarm' },
    `The room in 3D could not be shown here (${fault.message}). The drawings show the same.`));
});
