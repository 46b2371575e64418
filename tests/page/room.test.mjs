// Does in the room of report.html what a person would, in a real browser.
import assert from 'node:assert/strict';
import { describe, test } from 'node:test';
import { inflateSync } from 'node:zlib';
import { open, settled, shown } from './browser.mjs';

/** What the page carries, lengths in tenths of a millimetre. */
async function roomOf(page) {
  const packed = await page.locator('#room-data').evaluate((script) => script.textContent);
  return JSON.parse(inflateSync(Buffer.from(packed, 'base64')).toString());
}

describe('the room in 3D', () => {
  test('a run chosen in a list, in the panel or in the room is shown alone with its addends', async () => {
    const { page, told, close } = await open('alder-hall');
    const all = Number((await shown(page)).shown);
    assert.ok(all > 20);
    await page.locator('.runs button', { hasText: 'S4' }).click();
    assert.deepEqual([(await shown(page)).shown, (await shown(page)).selected], ['1', 'S4']);
    const metres = await page.locator('.addends td').allTextContents();
    const numbers = metres.map((text) => Number.parseFloat(text));
    const cut = numbers.pop();
    // Each is rounded to a millimetre.
    assert.ok(Math.abs(numbers.reduce((a, b) => a + b, 0) - cut) <= 0.0005 * (numbers.length + 1), `${numbers} = ${cut}`);
    await page.keyboard.press('Escape');
    assert.equal(Number((await shown(page)).shown), all);
    await page.locator('.chooser button', { hasText: 'Pull order' }).click();
    const inList = page.locator('#list-pull-order [data-run]').first();
    const id = await inList.textContent();
    await inList.click();
    assert.equal((await shown(page)).selected, id);
    await page.keyboard.press('Escape');
    // In the room: wherever a cable is met first.
    await page.getByRole('button', { name: 'Whole room' }).click();
    await page.evaluate(() => document.querySelector('.view').scrollIntoView({ block: 'center' }));
    await settled(page);
    const box = await page.locator('.view canvas').boundingBox();
    let found = false;
    for (let y = 0.2; y < 0.9 && !found; y += 0.023) {
      for (let x = 0.15; x < 0.9 && !found; x += 0.017) {
        await page.mouse.click(box.x + x * box.width, box.y + y * box.height);
        found = (await shown(page)).shown === '1';
      }
    }
    assert.ok(found, 'a click finds a run');
    assert.deepEqual(told, []);
    await close();
  });

  test('everything can be done from the keyboard', async () => {
    const { page, told, close } = await open('alder-hall');
    const canvas = page.locator('.view canvas');
    const picture = async () => (await canvas.screenshot()).toString('base64');
    // Tab reaches the canvas and goes on from it.
    await page.keyboard.press('Tab');
    assert.equal(await page.evaluate(() => document.activeElement.className), 'skip');
    let at = '';
    for (let i = 0; i < 60 && at !== 'CANVAS'; ++i) {
      await page.keyboard.press('Tab');
      at = await page.evaluate(() => document.activeElement.tagName);
    }
    assert.equal(at, 'CANVAS');
    const start = await picture();
    await page.keyboard.press('ArrowLeft');
    await settled(page);
    assert.notEqual(await picture(), start, 'arrows turn');
    await page.keyboard.press('n');
    assert.equal((await shown(page)).selected, 'N1');
    await page.keyboard.press('n');
    assert.equal((await shown(page)).selected, 'N2');
    await page.keyboard.press('p');
    assert.equal((await shown(page)).selected, 'N1');
    await page.keyboard.press(']');
    assert.ok(Number((await shown(page)).shown) >= 1 && (await shown(page)).selected === '');
    await page.keyboard.press('Escape');
    await page.keyboard.press('v');
    assert.equal(await page.locator('[data-look=walk]').getAttribute('aria-pressed'), 'true');
    const standing = await picture();
    await page.keyboard.press('w');
    await settled(page);
    assert.notEqual(await picture(), standing, 'w steps forward');
    await page.keyboard.press('v');
    await page.keyboard.press('Home');
    await page.keyboard.press('m');
    await page.locator('[aria-label="Measure from"]').selectOption({ index: 1 });
    await page.locator('[aria-label="Measure to"]').selectOption({ index: 2 });
    assert.match(await page.locator('[data-measure]').textContent(), /^\d+\.\d{3} m straight/);
    await page.keyboard.press('Tab');
    assert.notEqual(await page.evaluate(() => document.activeElement.tagName), 'CANVAS', 'no trap');
    assert.deepEqual(told, []);
    await close();
  });

  test('measures what the model says between two places chosen by name', async () => {
    const { page, close } = await open('alder-hall');
    await page.getByRole('button', { name: 'Measure', exact: true }).click();
    const choose = (label, text) => page.locator(`[aria-label="Measure ${label}"]`).selectOption({ label: text });
    await choose('from', 'sub left');
    await choose('to', 'sub right');
    // job.json puts them at (0.45, 5.3, 0.2) and (3.75, 5.3, 0.2).
    assert.match(await page.locator('[data-measure]').textContent(), /^3\.300 m straight · 3\.300 m and 0\.000 m level · 0\.000 m plumb/);
    await close();
  });

  test('walls in the way are hidden, and no other', async () => {
    const { page, told, close } = await open('alder-hall');
    const room = await roomOf(page);
    const canvas = page.locator('.view canvas');
    await canvas.focus();
    const walls = room.sheets.map((sheet, i) => [sheet, i]).filter(([sheet]) => sheet.role === 'wall');
    assert.equal(walls.length, 4);
    const hiddenOnce = new Set();
    const shownOnce = new Set();
    // Twice round: 63 turns of 0.1 rad are a circle.
    for (let turn = 0; turn < 9; ++turn) {
      const now = await shown(page);
      const eye = now.eye.split(' ').map(Number);
      const hidden = now.hidden.split(' ').map(Number);
      for (const [sheet, i] of walls) {
        // By the model: is the eye on the wall's room side?
        const inside = [0, 1, 2].reduce((sum, k) => sum + (eye[k] - sheet.o[k] * 1e-4) * sheet.n[k], 0) > 0;
        assert.equal(hidden.includes(i), !inside, `wall ${i} from ${now.eye}`);
        (hidden.includes(i) ? hiddenOnce : shownOnce).add(i);
      }
      for (let i = 0; i < 7; ++i) await page.keyboard.press('ArrowLeft');
      await settled(page);
    }
    assert.deepEqual([hiddenOnce.size, shownOnce.size], [4, 4]);
    // Within the room none is in the way.
    await page.keyboard.press('v');
    await settled(page);
    const within = (await shown(page)).hidden.split(' ').map(Number);
    assert.ok(walls.every(([, i]) => !within.includes(i)));
    assert.deepEqual(told, []);
    await close();
  });

  test('zooms by wheel and key, and walks a step at a time at eye height', async () => {
    const { page, told, close } = await open('alder-hall');
    const room = await roomOf(page);
    const eye = async () => (await shown(page)).eye.split(' ').map(Number);
    const away = (a, b) => Math.hypot(...a.map((x, k) => x - b[k]));
    const canvas = page.locator('.view canvas');
    await page.evaluate(() => document.querySelector('.view').scrollIntoView({ block: 'center' }));
    await canvas.focus();
    const middle = [0, 1, 2].map((k) => (room.low[k] + room.high[k]) / 2 * 1e-4);
    const far = away(await eye(), middle);
    const box = await canvas.boundingBox();
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.wheel(0, -300);
    await settled(page);
    const near = away(await eye(), middle);
    assert.ok(near < 0.85 * far, `the wheel brings nearer: ${near} of ${far} m`);
    await page.keyboard.press('-');
    await settled(page);
    assert.ok(away(await eye(), middle) > near, 'minus goes back');
    await page.keyboard.press('v');
    await settled(page);
    const stood = await eye();
    assert.ok(Math.abs(stood[2] - room.floor * 1e-4 - 1.6) < 0.002, `eyes are 1.6 m above the floor: ${stood}`);
    await page.keyboard.press('w');
    await settled(page);
    const stepped = await eye();
    assert.ok(Math.abs(away(stood, stepped) - 0.25) < 0.002 && stepped[2] === stood[2], `a step of 0.25 m: ${stood} to ${stepped}`);
    for (let i = 0; i < 60; ++i) await page.keyboard.press('w');
    await settled(page);
    const last = await eye();
    assert.ok([0, 1].every((k) => last[k] > room.low[k] * 1e-4 && last[k] < room.high[k] * 1e-4), 'no step leads through a wall');
    assert.deepEqual(told, []);
    await close();
  });

  test('measures between two points that are clicked', async () => {
    const { page, told, close } = await open('alder-hall');
    const room = await roomOf(page);
    await page.getByRole('button', { name: 'Measure', exact: true }).click();
    await page.evaluate(() => document.querySelector('.view').scrollIntoView({ block: 'center' }));
    await settled(page);
    const said = page.locator('[data-measure]');
    const names = await page.locator('.labels span').evaluateAll((all) => all.filter((label) => label.offsetWidth > 0).length);
    assert.ok(names > 3, 'ends are named');
    const box = await page.locator('.view canvas').boundingBox();
    // Two ends where the page's own camera has them: by the pinhole's rule, from where the eye is.
    const at = async (p) => {
      const eye = (await shown(page)).eye.split(' ').map(Number);
      const view = await page.locator('.view').evaluate((element) => [element.clientWidth, element.clientHeight]);
      const target = (await shown(page)).target.split(' ').map(Number);
      const unit = (v) => v.map((x) => x / Math.hypot(...v));
      const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
      const dot = (a, b) => a.reduce((sum, x, k) => sum + x * b[k], 0);
      const ahead = unit(target.map((x, k) => x - eye[k]));
      const right = unit(cross(ahead, [0, 0, 1]));
      const up = cross(right, ahead);
      const from = p.map((x, k) => x * 1e-4 - eye[k]);
      const scale = view[1] / 2 / Math.tan(38 / 2 * Math.PI / 180) / dot(from, ahead);
      return [box.x + view[0] / 2 + dot(from, right) * scale, box.y + view[1] / 2 - dot(from, up) * scale];
    };
    const end = (name) => room.ends.find((one) => one.name === name).at;
    await page.mouse.click(...await at(end('sub left')));
    assert.equal(await said.textContent(), 'And the second point?');
    await page.mouse.click(...await at(end('sub right')));
    // job.json puts them 3.300 m apart.
    assert.match(await said.textContent(), /^3\.300 m straight · 3\.300 m and 0\.000 m level · 0\.000 m plumb/);
    assert.deepEqual(told, []);
    await close();
  });

  test('layers hide, the ceiling lifts and the pull order counts up', async () => {
    const { page, told, close } = await open('alder-hall');
    const all = Number((await shown(page)).shown);
    const layer = page.locator('.layers input').first();
    await layer.uncheck();
    assert.ok(Number((await shown(page)).shown) < all);
    await layer.check();
    const canvas = page.locator('.view canvas');
    await page.evaluate(() => document.querySelector('.view').scrollIntoView({ block: 'center' }));
    await settled(page);
    const before = (await canvas.screenshot()).toString('base64');
    await page.locator('input[type=range]').fill('120');
    await settled(page);
    assert.notEqual((await canvas.screenshot()).toString('base64'), before, 'the ceiling moved');
    assert.equal((await shown(page)).lift, '1.2');
    let last = 0;
    for (let i = 0; i < 4; ++i) {
      await page.locator('[data-step=on]').click();
      const now = Number((await shown(page)).shown);
      assert.ok(now > 0 && now >= last, `${now} after ${last}`);
      last = now;
    }
    assert.ok(last < all);
    // Esc leaves it from the button too, on which it was stepped.
    await page.keyboard.press('Escape');
    assert.equal(Number((await shown(page)).shown), all);
    assert.deepEqual(told, []);
    await close();
  });

  test('a finding shows its place', async () => {
    const { page, told, close } = await open('hostile');
    const before = (await page.locator('.view').screenshot()).toString('base64');
    await page.locator('[data-place]').first().click();
    await settled(page);
    assert.notEqual((await page.locator('.view').screenshot()).toString('base64'), before);
    assert.deepEqual(told, []);
    await close();
  });
});

describe('a floor of a thousand runs', () => {
  test('is little work to draw with software GL, and tells after how long its first frame is there', async () => {
    // The figure to reach is 3 s on two cores that do nothing else; FIRST_FRAME=3000 holds the best of
    // three to it. What a busy machine adds is no fault of the page, so the test counts work.
    const limit = process.env.FIRST_FRAME;
    const times = [];
    let now;
    let elements;
    for (let i = 0; i < (limit ? 3 : 1); ++i) {
      const { page, told, close } = await open('thousand');
      now = await shown(page);
      times.push(Number(now.firstFrame));
      assert.equal(now.shown, '1000');
      elements = await page.evaluate(() => document.querySelectorAll('*').length);
      assert.deepEqual(told, []);
      await close();
    }
    console.log(`first frame: ${times.join(', ')} ms; ${now.triangles} triangles in ${now.calls} calls; ${elements} elements`);
    if (limit) assert.ok(Math.min(...times) < Number(limit), `${times} ms`);
    assert.ok(Number(now.triangles) < 1e6, `${now.triangles} triangles`);
    assert.ok(Number(now.calls) < 4500, `${now.calls} calls`);
    assert.ok(elements < 120000, `${elements} elements`);
  });
});
