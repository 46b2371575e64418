// What the tests of report.html share: a real browser, and a page opened in it.
// PAGES: folder of the pages · MODULES: node_modules · CHROMIUM: the browser.
import { createRequire } from 'node:module';
import path from 'node:path';
import { after, before } from 'node:test';
import { pathToFileURL } from 'node:url';

export const { PAGES, MODULES, CHROMIUM } = process.env;
export const need = createRequire(path.join(MODULES, 'x'));
const { chromium } = need('playwright-core');
export const ROOMS = ['alder-hall', 'classroom', 'attic-studio'];

export let browser;
before(async () => {
  browser = await chromium.launch({
    executablePath: CHROMIUM,
    args: ['--no-sandbox', '--use-angle=swiftshader', '--enable-unsafe-swiftshader', '--font-render-hinting=none'],
  });
});
after(() => browser?.close());

/** Opens a page and waits for its first frame; `told` gathers what it should never say or ask. */
export async function open(name, options = {}) {
  // What tests put into the page (axe) is let past the page's own policy only where they say so.
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, reducedMotion: 'reduce', ...options });
  const page = await context.newPage();
  const told = [];
  page.on('console', (message) => { if (message.type() === 'error') told.push(`console: ${message.text()}`); });
  page.on('pageerror', (fault) => told.push(`fault: ${fault.message}`));
  page.on('dialog', (dialog) => { told.push(`dialog: ${dialog.message()}`); dialog.dismiss(); });
  const file = pathToFileURL(path.join(PAGES, `${name}.html`)).href;
  page.on('request', (request) => {
    const url = request.url();
    if (url !== file && !url.startsWith('data:') && !url.startsWith('blob:')) told.push(`request: ${url}`);
  });
  await page.goto(file);
  await page.waitForFunction(() => document.querySelector('.view')?.dataset.firstFrame, null, { timeout: 60000 });
  return { page, told, close: () => context.close() };
}

export const shown = (page) => page.locator('.view').evaluate((view) => ({ ...view.dataset }));
export async function settled(page) {
  await page.waitForTimeout(150);
  // On a slow machine the frame that shows it comes later.
  await page.evaluate(() => new Promise((done) => {
    requestAnimationFrame(() => requestAnimationFrame(() => done()));
  }));
}
