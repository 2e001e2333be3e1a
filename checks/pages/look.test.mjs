// Every page as it is on a good day: accessible, narrow enough for a phone, light, and alone with its garden.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { open, pageOf } from './browser.mjs';
import { garden } from './garden.mjs';
import { good, look } from './looks.mjs';
import { record } from './record.mjs';

let browser;
before(async () => { browser = await open(); });
after(() => browser.close());

test('every page of a market garden on a cold evening', async (t) => {
  const own = await garden(t, 'wisconsin');
  own.write('station.csv', record());
  await fetch(`${own.address}/year`);
  const driven = await pageOf(browser);
  await look(t, driven, own, [
    ['/', 200, /Tonight/],
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
    ['/knows', 200, /How it knows/],
    ['/forecast', 200, /forecast/],
    ['/station', 200, /record/],
  ]);
  await own.ready('year');
  await look(t, driven, own, [['/year', 200, /Year/]]);
  assert.ok(await driven.page.locator('svg').count() >= 2, 'frost dates and what the beds carry are drawn');
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
  await page.getByRole('button', { name: /^Take back/ }).first().click();
  await page.getByText('taken back').first().waitFor();
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
