// Keyboard only: everything can be reached, seen and done without a pointer.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { open, pageOf } from './browser.mjs';
import { garden } from './garden.mjs';

let browser;
before(async () => { browser = await open(); });
after(() => browser.close());

/** What has the focus: its name, and whether its outline can be seen. */
const focused = (page) => page.evaluate(() => {
  const e = document.activeElement;
  const style = getComputedStyle(e);
  const box = e.getBoundingClientRect();
  const seen = style.outlineStyle === 'solid' && parseFloat(style.outlineWidth) >= 2 && box.width > 0 && box.right > 0
    && box.bottom > 0 && box.top < innerHeight;
  const name = e.getAttribute('aria-label') ?? (e.labels?.[0]?.innerText || e.textContent.trim() || e.className);
  return { name, seen, tag: e.tagName, type: e.type };
});

/** Presses Tab until the focus has this name; every stop on the way must be visible. */
async function tabTo(page, name) {
  const stops = [];
  for (let i = 0; i < 150; i++) {
    await page.keyboard.press('Tab');
    const now = await focused(page);
    stops.push(now.name);
    if (now.tag === 'BODY') break;
    assert.ok(now.seen, `the focus on “${now.name}” cannot be seen`);
    if (name.test(now.name)) return stops;
  }
  return assert.fail(`Tab does not reach ${name}: ${stops.join(' → ')}`);
}

test('the skip link comes first and leads past the list of pages', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser);
  await page.goto(`${own.address}/`);
  await page.keyboard.press('Tab');
  assert.deepEqual(await focused(page), { name: 'To the page itself', seen: true, tag: 'A', type: '' });
  await page.keyboard.press('Enter');
  const stops = await tabTo(page, /./);
  assert.equal(stops.length, 1);
  assert.ok(!/^(Menu|Tonight|Nights ahead|Beds)$/.test(stops[0]), `${stops[0]} lies past the list of pages`);
});

test('a bed is ticked off and the tick taken back, by keys alone', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser);
  await page.goto(`${own.address}/`);
  const stops = await tabTo(page, /^strawberries is covered$/);
  assert.deepEqual(stops.slice(0, 2), ['To the page itself', 'Menu']);
  assert.match(stops[2], /^1 strawberries/, 'the first bed opens before its button');
  await page.keyboard.press('Enter');
  await page.getByText('✓ covered, 4:00 pm').or(page.getByText(/✓ covered, 4:0\d pm/)).waitFor();
  await tabTo(page, /Undo/);
  await page.keyboard.press('Enter');
  await page.getByText(/✓ covered/).waitFor({ state: 'detached' });
});

test('the list of pages opens, leads on and closes by keys, without script too', async (t) => {
  const own = await garden(t, 'wisconsin');
  for (const javaScriptEnabled of [true, false]) {
    const { page } = await pageOf(browser, { javaScriptEnabled });
    await page.goto(`${own.address}/`);
    const list = page.locator('nav');
    assert.ok(!(await list.isVisible()), 'a phone shows it when asked');
    await page.getByRole('button', { name: 'Menu' }).focus();
    await page.keyboard.press('Enter');
    await list.waitFor();
    await page.keyboard.press('Escape');
    await list.waitFor({ state: 'hidden' });
    await page.keyboard.press('Enter');
    await page.getByRole('link', { name: 'Beds', exact: true }).focus();
    await page.keyboard.press('Enter');
    await page.waitForURL('**/beds');
    await page.setViewportSize({ width: 1280, height: 800 });
    assert.ok(await list.isVisible(), 'a desk shows it at once');
  }
});

test('a bed is changed by keys alone, and a folded part of its form opened', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser);
  await page.goto(`${own.address}/beds/1`);
  await tabTo(page, /^The bed/);
  await page.keyboard.press('Enter');
  await tabTo(page, /^Length/);
  await page.keyboard.press('ControlOrMeta+a');
  await page.keyboard.type('38');
  await tabTo(page, /mulched/);
  await page.keyboard.press('Enter');
  await tabTo(page, /It is mulched/);
  assert.equal((await focused(page)).type, 'checkbox');
  await page.keyboard.press('Space');
  await tabTo(page, /^Mulch between/);
  await page.keyboard.press('ArrowDown');
  await tabTo(page, /^How deep/);
  await page.keyboard.type('2');
  await tabTo(page, /^Save$/);
  await page.keyboard.press('Enter');
  await page.waitForURL('**/beds');
  assert.match(own.read('garden.toml'), /length_ft = 38\n[\s\S]*?mulch = \{ [^}]*depth_in = 2 \}/);
});

test('what scrolls sideways can be scrolled by keys', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser);
  for (const path of ['/stock', '/beds', '/print/night', '/print/cuts']) {
    await page.goto(own.address + path);
    const stuck = await page.evaluate(() => [...document.querySelectorAll('.scroll, pre')]
      .filter((e) => e.scrollWidth > e.clientWidth && e.tabIndex < 0 && !e.querySelector('a, button, input'))
      .map((e) => e.textContent.trim().slice(0, 40)));
    assert.deepEqual(stuck, [], path);
  }
});

test('after a mistake the focus is where to mend it', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser);
  await page.goto(`${own.address}/diary`);
  await page.getByLabel('Temperature').fill('cold');
  await page.keyboard.press('Enter');
  await page.locator('[aria-invalid=true]').waitFor();
  assert.match((await focused(page)).name, /^Temperature/);
});
