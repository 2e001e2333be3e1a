// How a page looks: axe-core's verdict, light and dark, on a phone and at a desk.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
// Web Content Accessibility Guidelines 2.2 (W3C Recommendation), levels A and AA, as far as a machine can tell.
const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
const looks = [
  { colorScheme: 'light', width: 360 },
  { colorScheme: 'dark', width: 360 },
  { colorScheme: 'light', width: 1280 },
  { colorScheme: 'dark', width: 1280 },
];
/** Most that a page may weigh with its style sheet and script, bytes. */
const LARGEST = 60_000;

/** Opens what is folded and brings axe in. */
async function prepare(page) {
  await page.waitForLoadState();
  await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
  await page.evaluate(axe);
}

/** What axe finds. A page that came anew meanwhile, because a plan was ready, is prepared and looked at again. */
async function violations(page) {
  for (let left = 4; ; left -= 1) {
    try {
      if (!(await page.evaluate(() => Boolean(window.axe)))) await prepare(page);
      return (await page.evaluate((tags) => window.axe.run({ runOnly: tags, resultTypes: ['violations'] }), rules)).violations;
    } catch (lost) {
      if (left === 0) throw lost;
    }
  }
}

/** Faults of the page that is open, in every look: what axe finds, and what makes one scroll sideways. */
export async function faults(page) {
  await prepare(page);
  const found = [];
  for (const { colorScheme, width } of looks) {
    await page.emulateMedia({ colorScheme });
    await page.setViewportSize({ width, height: 800 });
    const look = `${colorScheme} ${width} px`;
    const broken = await violations(page);
    found.push(...broken.map((v) => `${look}: ${v.id}: ${v.nodes.map((n) => n.target).slice(0, 3).join(' | ')}`));
    if (await page.evaluate(() => document.documentElement.scrollWidth > innerWidth)) found.push(`${look}: scrolls sideways`);
  }
  // Success criterion 1.4.10, Reflow: nothing lost at 320 CSS pixels.
  await page.setViewportSize({ width: 320, height: 800 });
  if (await page.evaluate(() => document.documentElement.scrollWidth > innerWidth)) found.push('320 px: scrolls sideways');
  await page.setViewportSize({ width: 360, height: 740 });
  await page.emulateMedia({ colorScheme: 'light' });
  return found;
}

/** Words with less than 7:1 to what is behind them (WCAG 2.2, 1.4.6): what is read outside at dusk has that. */
export async function faint(page) {
  await prepare(page);
  const rule = { runOnly: { type: 'rule', values: ['color-contrast-enhanced'] }, rules: { 'color-contrast-enhanced': { enabled: true } } };
  const found = await page.evaluate((how) => window.axe.run('main', { ...how, resultTypes: ['violations'] }), rule);
  return found.violations.flatMap((v) => v.nodes.map((n) => n.html.slice(0, 80)));
}

/** Goes to each path and asserts that it is without fault, light enough, and asks nobody else. */
export async function look(t, driven, garden, paths) {
  for (const [path, status, heading] of paths) {
    await t.test(path, async () => {
      const answer = await driven.page.goto(garden.address + path);
      assert.equal(answer.status(), status);
      await good(driven, heading);
    });
  }
}

/** Asserts that the page that is open is the one with this heading, and is good in every look. */
export async function good(driven, heading) {
  const { page, wrong, weight } = driven;
  assert.match(await page.locator('h1').innerText(), heading);
  assert.deepEqual(await faults(page), []);
  assert.deepEqual(wrong, []);
  const bytes = await weight();
  assert.ok(bytes > 5_000 && bytes < LARGEST, `${bytes} bytes`);
}
