// Every page as it is on a good day: accessible, narrow enough for a phone, light, and alone with its garden.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { setTimeout as pause } from 'node:timers/promises';
import { open, pageOf } from './browser.mjs';
import { Garden, garden } from './garden.mjs';
import { faint, good, look } from './looks.mjs';
import { many } from './many.mjs';
import { record } from './record.mjs';

let browser;
before(async () => { browser = await open(); });
after(() => browser.close());

/** The page of the year, opened without script while it is worked out: the bars seen one after another, and its text at last. */
async function whileItComes(own) {
  const { page } = await pageOf(browser, { javaScriptEnabled: false });
  const bars = [];
  const come = page.goto(`${own.address}/year`, { waitUntil: 'load', timeout: 90_000 }).then(() => true);
  while (!await Promise.race([come, pause(150).then(() => false)])) {
    const seen = await page.locator('progress:visible').evaluateAll((all) => all.map((bar) => bar.value)).catch(() => []);
    if (seen.length && seen.at(-1) !== bars.at(-1)) bars.push(...seen);
  }
  return [bars, await page.locator('main').innerText()];
}

test('every page of a market garden on a cold evening', async (t) => {
  const own = await garden(t, 'wisconsin');
  own.write('station.csv', record());
  const watched = whileItComes(own);
  const driven = await pageOf(browser);
  await look(t, driven, own, [
    ['/', 200, /Tonight/],
    ['/night/1', 200, /strawberries/],
    ['/nights', 200, /Nights ahead/],
    ['/beds', 200, /Beds/],
    ['/beds/1', 200, /strawberries/],
    ['/beds/2', 200, /broccoli/],
    ['/beds/new', 200, /bed/],
    ['/garden', 200, /garden/],
    ['/stock', 200, /Stock/],
    ['/stock/1', 200, /heavy 72/],
    ['/stock/new', 200, /sheet/],
    ['/print/night', 200, /Ridge garden/],
    ['/print/cuts', 200, /Cut list/],
    ['/diary', 200, /Diary/],
    ['/sensors', 200, /Sensors/],
    ['/calendar', 200, /Calendar/],
    ['/messages', 200, /Messages/],
    ['/knows', 200, /How it knows/],
    ['/forecast', 200, /forecast/],
    ['/station', 200, /record/],
  ]);
  const [bars, text] = await watched;
  assert.ok(bars.length > 3, `bars that move: ${bars}`);
  assert.deepEqual(bars, [...new Set(bars)].sort((a, b) => a - b), 'one bar at a time, and never back');
  assert.match(text, /^Year\n+From 30 years/, 'nothing is left of the waiting');
  assert.match(text, /What the beds carry, month by month/);
  await look(t, driven, own, [['/year', 200, /Year/]]);
  // On a desk no drawn letter grows with the page.
  await driven.page.setViewportSize({ width: 1280, height: 800 });
  const large = await driven.page.evaluate(() => [...document.querySelectorAll('svg text')]
    .map((text) => parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().a).filter((size) => size > 24));
  assert.deepEqual(large, [], 'drawn letters on a desk');
  assert.ok(await driven.page.locator('svg').count() >= 2, 'frost dates and what the beds carry are drawn');
});

test('Stock in winter, when there is something to look after', async (t) => {
  const own = await garden(t, 'wisconsin', { at: '2027-12-10T15:00' });
  const driven = await pageOf(browser);
  await look(t, driven, own, [['/stock', 200, /Stock/]]);
  await driven.page.goto(`${own.address}/stock`);
  assert.match(await driven.page.locator('main').innerText(), /Look for mice in the stored cloth/);
});

// What somebody with cold hands sees first: six beds with their buttons, legible at dusk.
test('the first look at Tonight on a phone', async (t) => {
  const own = await garden(t, 'wisconsin');
  for (const colorScheme of ['light', 'dark']) {
    const { page } = await pageOf(browser, { viewport: { width: 390, height: 844 }, colorScheme });
    await page.goto(`${own.address}/`);
    const seen = await page.evaluate(() => {
      const foot = document.querySelector('.foot').getBoundingClientRect();
      const rows = [...document.querySelectorAll('.task')].map((e) => e.getBoundingClientRect());
      const buttons = [...document.querySelectorAll('.task .tick button')].map((e) => e.getBoundingClientRect());
      return { foot: [foot.top, foot.bottom], rows: rows.map((r) => r.bottom), buttons: buttons.map((b) => [b.top, b.width, b.height]) };
    });
    assert.ok(Math.abs(seen.foot[1] - 844) < 1, `what is left stands at the foot: ${seen.foot}`);
    assert.ok(seen.rows.filter((bottom) => bottom <= seen.foot[0]).length >= 6, `six beds: ${seen.rows}`);
    assert.ok(seen.buttons[0][0] < 260, `the first button: ${seen.buttons[0]}`);
    for (const [, width, height] of seen.buttons) assert.ok(width >= 64 && height >= 48, 'large enough for gloves');
    assert.deepEqual(await faint(page), []);
  }
});

test('no drawn letter is smaller than 12 px on a phone', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser);
  for (const path of ['/', '/night/1', '/beds', '/beds/2', '/stock', '/nights', '/diary', '/learn', '/print/night']) {
    await page.goto(own.address + path);
    const small = await page.evaluate(() => {
      document.querySelectorAll('details').forEach((d) => { d.open = true; });
      const drawn = (text) => parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().a;
      return [...document.querySelectorAll('svg text')].filter((e) => drawn(e) < 12).map((e) => `${e.textContent}: ${drawn(e).toFixed(1)}`);
    });
    assert.deepEqual(small, [], path);
  }
});

// What a garden of market size asks of a phone: every page light still.
for (const beds of [24, 40]) {
  test(`${beds} beds weigh no more than a page may`, async (t) => {
    const own = new Garden('wisconsin');
    t.after(() => own.clear());
    own.edit((text) => many(text, beds));
    await own.start();
    const driven = await pageOf(browser);
    await look(t, driven, own, [['/', 200, /Tonight/], ['/nights', 200, /Nights/], ['/beds', 200, /Beds/], ['/beds/1', 200, /strawberries/]]);
    await driven.page.goto(`${own.address}/`);
    assert.ok(await driven.page.locator('.task').count() > beds / 2, 'most are covered');
  });
}

test('nights ahead on a phone: the picture fits, the names of the table stay in sight', async (t) => {
  const own = await garden(t, 'jura');
  const { page } = await pageOf(browser);
  await page.goto(`${own.address}/nights`);
  const seen = await page.evaluate(() => {
    const region = document.querySelector('.pinned').parentElement;
    region.scrollLeft = 500;
    return {
      drawn: [...document.querySelectorAll('main svg')].map((e) => e.getBoundingClientRect().right),
      names: [...document.querySelectorAll('.pinned tbody th')].map((e) => e.getBoundingClientRect().left),
    };
  });
  assert.ok(seen.drawn.length === 2 && seen.drawn.every((right) => right <= 360), `${seen.drawn}`);
  assert.ok(seen.names.every((left) => left >= 0), `${seen.names}`);
});

test('a bed takes less than two screens of a phone', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser, { viewport: { width: 360, height: 800 } });
  for (const path of ['/beds/1', '/beds/2', '/beds/6']) {
    await page.goto(own.address + path);
    assert.ok(await page.evaluate(() => document.documentElement.scrollHeight) < 1600, path);
  }
});

test('a bed ticked off, notes in the diary, one taken back', async (t) => {
  const own = await garden(t, 'wisconsin');
  const driven = await pageOf(browser);
  const { page } = driven;
  await page.goto(`${own.address}/`);
  await page.getByRole('button', { name: 'strawberries is covered' }).click();
  await page.getByText('covered, ').first().waitFor();
  await good(driven, /Tonight/);
  await page.goto(`${own.address}/diary`);
  await page.getByLabel('Temperature').fill('27');
  await page.getByRole('button', { name: 'Write down the reading' }).click();
  await page.locator('#kept ~ ul .card').nth(1).waitFor();
  await page.getByRole('button', { name: /^Undo/ }).first().click();
  await page.getByText('undone').first().waitFor();
  await good(driven, /Diary/);
});

test('a morning with covers to open', async (t) => {
  const own = await garden(t, 'wisconsin', { at: '2027-05-15T07:20' });
  const driven = await pageOf(browser);
  await look(t, driven, own, [['/', 200, /./]]);
});

test('an evening with nothing to cover', async (t) => {
  const own = await garden(t, 'wisconsin');
  await forecast(own, 'forecast-mild.json');
  const driven = await pageOf(browser);
  await look(t, driven, own, [['/', 200, /Tonight/], ['/nights', 200, /Nights/], ['/print/night', 200, /Ridge/]]);
  await forecast(own, 'forecast-windy.json');
  await look(t, driven, own, [['/', 200, /Tonight/]]);
});

test('a metric garden', async (t) => {
  const own = await garden(t, 'jura');
  const driven = await pageOf(browser);
  await look(t, driven, own, [
    ['/', 200, /Tonight/],
    ['/nights', 200, /Nights/],
    ['/beds', 200, /Beds/],
    ['/beds/1', 200, /./],
    ['/stock', 200, /Stock/],
    ['/print/night', 200, /Plateau/],
  ]);
});

/** Puts another of the demo's forecasts in the place of the first, and waits for its plan. */
async function forecast(own, file) {
  own.write('forecast.json', own.read(file));
  await own.working();
  await own.ready();
}
