// Opens report.html of planned rooms in a real browser and looks at all of it but the room in 3D.
// SHOTS: where pictures go that differ from the stored ones. BLESS=1 stores the present pictures
// instead, README's too.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, test } from 'node:test';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { inflateSync } from 'node:zlib';
import { MODULES, PAGES, ROOMS, browser, need, open, settled } from './browser.mjs';

const { SHOTS, BLESS } = process.env;
const { PNG } = need('pngjs');
const axe = readFileSync(path.join(MODULES, 'axe-core/axe.min.js'), 'utf8');
const stored = path.join(path.dirname(fileURLToPath(import.meta.url)), 'pictures');
const README_PICTURE = path.join(path.dirname(fileURLToPath(import.meta.url)), '../../models/alder-hall/alder-hall.png');
const LOOKS = [['light', {}], ['dark', { colorScheme: 'dark' }], ['phone', { viewport: { width: 390, height: 700 } }]];
const PARTS = [['room', '.view'], ['answer', '#answer'], ['lists', '#lists'], ['findings', '#findings']];
// Pictures are compared square by square, at half size: mean difference of a square, of 255, and
// share of the squares with anything in them.
const SQUARE = 8;
const MOST_AWAY = 6;
const MOST_CHANGED = 0.01;

for (const room of ROOMS) {
  describe(room, () => {
    test('loads without an error and without a request that leaves the file', async () => {
      const { page, told, close } = await open(room);
      await page.waitForFunction(() => document.documentElement.dataset.sheets === 'ready', null, { timeout: 60000 });
      assert.ok(await page.locator('.paper img').count() > 3);
      const broken = await page.locator('.paper img').evaluateAll((all) => all.filter((image) => image.naturalWidth === 0).length);
      assert.equal(broken, 0, 'every sheet is drawn');
      assert.deepEqual(told, []);
      await close();
    });

    test('has no serious fault of accessibility in light and dark', async () => {
      for (const colorScheme of ['light', 'dark']) {
        const { page, close } = await open(room, { colorScheme, bypassCSP: true });
        await page.locator('.runs button').first().click();
        await page.evaluate(axe);
        const { violations } = await page.evaluate(() => axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'best-practice'] }));
        const serious = violations.filter((v) => ['serious', 'critical'].includes(v.impact))
          .map((v) => `${colorScheme} ${v.id}: ${v.nodes.map((node) => node.html.slice(0, 120)).slice(0, 3).join(' | ')}`);
        assert.deepEqual(serious, []);
        await close();
      }
    });

    test('looks as it did', async () => {
      for (const [name, options] of LOOKS) {
        const { page, close } = await open(room, options);
        for (const [part, selector] of name === 'light' ? PARTS : PARTS.slice(0, 1))
          compare(`${room}-${name}-${part}`, await pictured(page, selector));
        await close();
      }
    });
  });
}

test('the picture in README is the one that route leaves', () => {
  const drawn = path.join(PAGES, 'alder-hall-overview.png');
  if (BLESS) return copyFileSync(drawn, README_PICTURE);
  const [now, then] = [drawn, README_PICTURE].map((file) => halved(PNG.sync.read(readFileSync(file))));
  const share = changedSquares(now, then);
  assert.ok(share <= MOST_CHANGED, `${(100 * share).toFixed(1)} % of the squares of ${README_PICTURE} differ from ${drawn}`);
});

describe('the comparison of pictures', () => {
  // What must not pass unseen: each fault alone, on the part where it shows.
  const faults = [
    ['room', 'the room is not drawn', (page) => page.addStyleTag({ content: '.view canvas { visibility: hidden }' })],
    ['room', 'the ceiling is lifted', (page) => page.locator('input[type=range]').fill('120')],
    ['room', 'one run alone is shown', (page) => page.locator('.runs button', { hasText: 'S4' }).click()],
    ['lists', 'a list is not there', (page) => page.addStyleTag({ content: '#lists table { visibility: hidden }' })],
    ['lists', 'a column is not there', (page) => page.addStyleTag({ content: '#lists td:nth-child(2) { visibility: hidden }' })],
    ['answer', 'the answer is not there', (page) => page.addStyleTag({ content: '#answer > * { visibility: hidden }' })],
    ['answer', 'its style is not there', (page) => page.evaluate(() => document.querySelectorAll('style').forEach((style) => style.remove()))],
  ];
  for (const [part, what, harm] of BLESS ? [] : faults) {
    test(`finds that ${what}`, async () => {
      const { page, close } = await open('alder-hall', { bypassCSP: true });
      const selector = PARTS.find(([name]) => name === part)[1];
      await page.locator(selector).first().scrollIntoViewIfNeeded();
      await harm(page);
      const share = changed(`alder-hall-light-${part}`, await pictured(page, selector));
      assert.ok(share > 5 * MOST_CHANGED, `only ${(100 * share).toFixed(1)} % of the squares tell it`);
      await close();
    });
  }
});

/**
 * What stands above an element may end between two pixels, and its height may still change once it is
 * near; lines of text would then be drawn one higher or lower. So it is moved until it stays.
 */
async function onWholePixel(page, part) {
  const LAYOUT_UNIT = 1 / 64;  // Chromium places nothing finer
  const shift = () => part.evaluate((element) => {
    const top = element.getBoundingClientRect().top;
    return Math.round(top) - top;
  });
  for (let trial = 0; trial < 10; ++trial) {
    const off = await shift();
    if (Math.abs(off) <= LAYOUT_UNIT) return;
    await part.evaluate((element, more) => {
      if (getComputedStyle(element).position === 'static') element.style.position = 'relative';
      element.style.top = `${(parseFloat(element.style.top) || 0) + more}px`;
    }, off);
    await settled(page);
  }
  assert.fail('the element comes to rest between two pixels');
}

/** The upper part of an element, as high as a window. */
async function pictured(page, selector) {
  const part = page.locator(selector).first();
  await part.evaluate((element) => element.scrollIntoView({ block: 'start', behavior: 'instant' }));
  await page.evaluate(() => scrollBy(0, -60));  // clear of the bar at the top
  await settled(page);
  await onWholePixel(page, part);
  const box = await part.boundingBox();
  const window = page.viewportSize();
  const clip = { x: box.x, y: box.y, width: box.width, height: Math.min(box.height, window.height - box.y) };
  return page.screenshot({ clip });
}

function changed(name, bytes) {
  const file = path.join(stored, `${name}.png`);
  assert.ok(existsSync(file), `${file} is stored`);
  return changedSquares(halved(PNG.sync.read(bytes)), PNG.sync.read(readFileSync(file)));
}

/** Share of the picture's squares that do not look as in the other one; all, if the size differs. */
function changedSquares(now, then) {
  // Text may break one pixel later in another version of the browser, and so grow by a line.
  if (now.width !== then.width || Math.abs(now.height - then.height) > 0.04 * then.height) return 1;
  const high = Math.min(now.height, then.height);
  let squares = 0;
  let differing = 0;
  for (let y = 0; y + SQUARE <= high; y += SQUARE) {
    for (let x = 0; x + SQUARE <= now.width; x += SQUARE) {
      let sum = 0;
      let texture = 0;
      for (let j = 0; j < SQUARE; ++j) {
        for (let i = 0; i < SQUARE; ++i) {
          const at = ((y + j) * now.width + x + i) * 4;
          const base = (y * now.width + x) * 4;
          for (let k = 0; k < 3; ++k) {
            sum += Math.abs(now.data[at + k] - then.data[at + k]);
            texture += Math.abs(then.data[at + k] - then.data[base + k]) + Math.abs(now.data[at + k] - now.data[base + k]);
          }
        }
      }
      if (sum === 0 && texture === 0) continue;  // plain in both: says nothing
      ++squares;
      differing += sum / (3 * SQUARE * SQUARE) > MOST_AWAY ? 1 : 0;
    }
  }
  return squares === 0 ? 1 : differing / squares;
}

function compare(name, bytes) {
  if (BLESS) {
    mkdirSync(stored, { recursive: true });
    writeFileSync(path.join(stored, `${name}.png`), PNG.sync.write(halved(PNG.sync.read(bytes)), { colorType: 2 }));
    return;
  }
  const share = changed(name, bytes);
  if (share > MOST_CHANGED) {
    mkdirSync(SHOTS, { recursive: true });
    writeFileSync(path.join(SHOTS, `${name}.png`), PNG.sync.write(halved(PNG.sync.read(bytes))));
  }
  assert.ok(share <= MOST_CHANGED, `${name}: ${(100 * share).toFixed(1)} % of the squares differ; see ${SHOTS}/${name}.png`);
}

/** Half as wide and high: lines and letters may move by a part of a pixel between versions. */
function halved(png) {
  const out = new PNG({ width: Math.floor(png.width / 2), height: Math.floor(png.height / 2) });
  for (let y = 0; y < out.height; ++y) {
    for (let x = 0; x < out.width; ++x) {
      for (let k = 0; k < 4; ++k) {
        let sum = 0;
        for (let j = 0; j < 4; ++j) sum += png.data[((y * 2 + (j >> 1)) * png.width + x * 2 + j % 2) * 4 + k];
        out.data[(y * out.width + x) * 4 + k] = Math.round(sum / 4);
      }
    }
  }
  return out;
}

describe('lists', () => {
  test('sort up and down by value and keep the rows that hold some words', async () => {
    const { page, close } = await open('thousand');
    const list = page.locator('#list-list-0');
    const cuts = () => list.locator('tbody tr td:nth-child(6)').evaluateAll((cells) => cells.slice(0, 50).map((cell) => Number(cell.dataset.v)));
    const button = list.locator('th:nth-child(6) button');
    await button.click();
    const up = await cuts();
    assert.deepEqual(up, [...up].sort((a, b) => a - b));
    await button.click();
    const down = await cuts();
    assert.deepEqual(down, [...down].sort((a, b) => b - a));
    assert.ok(down[0] > up[0]);
    await list.locator('th:nth-child(1) button').click();
    assert.deepEqual(await list.locator('tbody tr td:first-child').evaluateAll((cells) => cells.slice(8, 11).map((cell) => cell.textContent)), ['N9', 'N10', 'N11']);
    await list.locator('input').fill('n77');
    assert.equal(await list.locator('tbody tr:not([hidden])').count(), 11);  // 77 and 770 to 779
    assert.equal(await list.locator('.count').textContent(), '11 of 1000');
    await close();
  });
});

describe('sheets', () => {
  test('have every line of text as wide as the place kept for it', async () => {
    for (const room of ROOMS) {
      const { page, close } = await open(room);
      const packed = await page.locator('.paper').evaluateAll((papers) => papers.map((paper) => paper.dataset.svg));
      await close();
      const context = await browser.newContext();
      const blank = await context.newPage();
      let lines = 0;
      for (const sheet of packed) {
        await blank.setContent(inflateSync(Buffer.from(sheet, 'base64')).toString());
        // Of the font of the sheets, unless it is missing here; letters are spaced by 8 % at most else.
        const off = await blank.locator('text').evaluateAll((texts) => {
          const kept = texts.map((text) => Number(text.getAttribute('textLength')));
          for (const text of texts) for (const name of ['textLength', 'lengthAdjust']) text.removeAttribute(name);
          return texts.map((text, i) => [text.textContent, text.getComputedTextLength() / kept[i]]);
        });
        lines += off.length;
        assert.deepEqual(off.filter(([, ratio]) => Math.abs(ratio - 1) > 0.08), [], room);
      }
      assert.ok(lines > 500);
      await context.close();
    }
  });
});

describe('plans side by side', () => {
  test('are there after --compare, sort, and are told without a fault', async () => {
    const { page, told, close } = await open('compared', { bypassCSP: true });
    const plans = page.locator('#plans');
    await plans.scrollIntoViewIfNeeded();
    const text = await plans.innerText();
    for (const preset of ['balanced', 'least cable', 'least seen', 'least work']) assert.ok(text.includes(preset), preset);
    assert.match(text, /What would change the plan\n+(No price or minute|Each price or minute)/);
    const table = plans.locator('table').first();
    assert.equal(await table.locator('tbody tr').count(), 5, 'this plan and the presets');
    await page.evaluate(axe);
    const { violations } = await page.evaluate(() => axe.run('#plans', { runOnly: ['wcag2a', 'wcag2aa'] }));
    assert.deepEqual(violations.filter((v) => ['serious', 'critical'].includes(v.impact)).map((v) => v.id), []);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    assert.ok(wide <= 0, `the page is ${wide} px wider than the window`);
    assert.deepEqual(told, []);
    await close();
  });
});

describe('names that mean mischief', () => {
  test('do no harm', async () => {
    const { page, told, close } = await open('hostile');
    for (const button of (await page.locator('.runs button').all()).slice(0, 8)) await button.click();
    await page.waitForFunction(() => document.documentElement.dataset.sheets === 'ready', null, { timeout: 60000 });
    assert.ok(!(await page.title()).startsWith('taken over'));
    assert.equal(await page.locator('main img:not(.paper img):not(.print-only), main script, main b b, [onmouseover]').count(), 0);
    assert.ok(!(await page.evaluate(() => document.body.innerText.includes('\u202e'))));
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    assert.ok(wide <= 0, `the page is ${wide} px wider than the window`);
    assert.deepEqual(told, []);
    await close();
  });
});

describe('paper and phone', () => {
  test('print holds every list, every sheet and the room as a picture', async () => {
    const { page, told, close } = await open('alder-hall');
    await page.waitForFunction(() => document.documentElement.dataset.sheets === 'ready', null, { timeout: 60000 });
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    await page.emulateMedia({ media: 'print', colorScheme: 'light' });
    const hidden = await page.locator('.list').evaluateAll((lists) => lists.filter((list) => list.offsetHeight === 0).length);
    assert.equal(hidden, 0);
    assert.ok(await page.locator('img.print-only').evaluate((image) => image.decode().then(() => image.naturalWidth > 100)));
    for (const gone of ['.view canvas', '.panel', '.below', 'nav']) assert.equal(await page.locator(gone).first().isVisible(), false, gone);
    const pdf = await page.pdf({ format: 'A4' });
    assert.ok(pdf.length > 50000);
    assert.deepEqual(told, []);
    await close();
  });

  test('every sheet is printed though nothing waited for it', async () => {
    const { page, told, close } = await open('alder-hall');
    const sheets = await page.evaluate(() => {
      // As where one prints at once: none is unpacked yet.
      document.querySelectorAll('.paper img').forEach((image) => image.remove());
      dispatchEvent(new Event('beforeprint'));
      return [...document.querySelectorAll('.paper')].map((paper) => [...paper.children].map((drawn) => drawn.textContent));
    });
    assert.ok(sheets.length > 8);
    for (const [words] of sheets) assert.match(words ?? '', /Identification number/);
    await page.emulateMedia({ media: 'print', colorScheme: 'light' });
    const [high] = await page.locator('.paper .within').evaluateAll((all) => all.map((svg) => svg.getBoundingClientRect().height));
    assert.ok(high > 100, `${high} px high`);
    await page.evaluate(() => dispatchEvent(new Event('afterprint')));
    assert.equal(await page.locator('.paper .within').count(), 0);
    assert.deepEqual(told, []);
    await close();
  });

  test('what is printed numbers its pages and leaves no heading, note or page without what it heads', async () => {
    const file = path.join(PAGES, 'printed.pdf');
    for (const [room, most] of [['alder-hall', 56], ['classroom', 62], ['attic-studio', 38]]) {
      const { page, close } = await open(room);
      await page.waitForFunction(() => document.documentElement.dataset.sheets === 'ready', null, { timeout: 60000 });
      await page.pdf({ path: file, format: 'A4' });
      // Of each list its title, and the longest word of its first row that its note does not have.
      const lists = await page.locator('.list').evaluateAll((all) => all.map((list) => {
        const before = list.querySelector('.note')?.textContent + list.querySelector('thead').textContent;
        const words = [...list.querySelector('tbody tr').cells].flatMap((cell) => cell.textContent.split(/\s+/)).filter((word) => /^[\w.]+$/.test(word) && !before.includes(word));
        return [list.querySelector('h3').textContent, words.sort((a, b) => b.length - a.length)[0]];
      }));
      await close();
      const pages = execFileSync('pdftotext', ['-raw', file, '-'], { encoding: 'utf8' }).split('\f').slice(0, -1);
      pages.forEach((text, i) => assert.ok(text.includes(`page ${i + 1} of ${pages.length}`), `${room}: page ${i + 1} has its number`));
      for (const [title, word] of lists) {
        const on = pages.find((text) => text.split('\n').includes(title)) ?? '';
        assert.ok(on.slice(on.indexOf(title)).includes(word), `${room}: "${title}" stands with its first row, "${word}"`);
      }
      const sheets = pages.find((text) => text.split('\n').includes('Sheets'));
      assert.match(sheets, /Legal owner/, `${room}: the first sheet stands below its heading`);
      // More are lines set wider than they are read.
      assert.ok(pages.length <= most, `${room}: ${pages.length} pages`);
    }
  });

  test('on a phone one field chooses the list', async () => {
    const { page, close } = await open('classroom', { viewport: { width: 390, height: 700 }, hasTouch: true });
    const chooser = page.locator('.chooser');
    const { height } = await chooser.boundingBox();
    assert.ok(height < 60, `it is ${height} px high`);
    await chooser.locator('select').selectOption('Hole schedule');
    assert.deepEqual(await page.locator('.list:not(.away)').evaluateAll((all) => all.map((list) => list.id)), ['list-hole-schedule']);
    await page.evaluate(() => { location.hash = '#list-shopping'; });
    await page.waitForFunction(() => document.querySelector('.chooser select').value === 'Shopping list');
    await close();
  });

  test('nothing is cut off at the edge of the paper', async () => {
    // Widths within the margins of page.css on A4 and Letter, whichever is less: upright for what is
    // read, across for lists and sheets. 1 in is 96 px (CSS Values and Units 3, section 6.2).
    const px = (mm) => Math.floor(mm / 25.4 * 96);
    for (const [room, parts] of [...ROOMS.map((name) => [name, '#answer, #findings, #cautions']), ['compared', '#plans'], ...ROOMS.map((name) => [name, '#lists, #sheets'])]) {
      const across = parts.includes('#lists');
      const { page, close } = await open(room, { viewport: { width: across ? px(279.4 - 24) : px(210 - 28), height: 700 } });
      await page.waitForFunction(() => document.documentElement.dataset.sheets === 'ready', null, { timeout: 60000 });
      await page.emulateMedia({ media: 'print', colorScheme: 'light' });
      const out = await page.evaluate((selector) => [...document.querySelectorAll(selector)].flatMap((part) => [part, ...part.querySelectorAll('*')])
        .filter((element) => {
          const box = element.getBoundingClientRect();
          const style = getComputedStyle(element);
          const clips = style.overflowX !== 'visible' && element.scrollWidth > element.clientWidth + 1 && element.clientWidth > 0;
          return box.width > 0 && style.position !== 'absolute' && (box.right > innerWidth + 1 || clips);
        }).map((element) => `${element.tagName}.${element.className} ${element.textContent.slice(0, 40)}`), parts);
      assert.deepEqual(out.slice(0, 5), [], `${room} ${parts}`);
      await close();
    }
  });

  test('nothing is wider than a phone', async () => {
    for (const room of ROOMS) {
      const { page, close } = await open(room, { viewport: { width: 360, height: 700 }, hasTouch: true });
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      assert.ok(wide <= 0, `${room} is ${wide} px wider than the window`);
      await close();
    }
  });

  test('without scripts the answer, the lists and the findings are there', async () => {
    const context = await browser.newContext({ javaScriptEnabled: false });
    const page = await context.newPage();
    await page.goto(pathToFileURL(path.join(PAGES, 'alder-hall.html')).href);
    for (const id of ['answer', 'lists', 'findings', 'cautions']) assert.ok(await page.locator(`#${id}`).isVisible(), id);
    assert.ok(await page.locator('noscript').first().isVisible());
    await context.close();
  });
});
