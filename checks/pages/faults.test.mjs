// Every page on a bad day: nothing there yet, something wrong in a form or a file, a closed door.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { open, pageOf } from './browser.mjs';
import { garden } from './garden.mjs';
import { good, look } from './looks.mjs';

let browser;
before(async () => { browser = await open(); });
after(() => browser.close());

test('a folder without a garden', async (t) => {
  const own = await garden(t);
  const driven = await pageOf(browser);
  await look(t, driven, own, [['/', 200, /garden/], ['/begin', 200, /A new garden/], ['/nowhere', 404, /No such page/]]);
  await driven.page.goto(`${own.address}/begin`);
  await driven.page.getByRole('button', { name: 'Make the garden' }).click();
  await driven.page.locator('[aria-invalid=true]').first().waitFor();
  await good(driven, /A new garden/);
  assert.equal(await driven.page.locator('[aria-invalid=true]').count(), 7);
});

test('a garden without forecast, record, cut list or notes', async (t) => {
  const own = await garden(t);
  own.write('garden.toml', bare);
  await own.working();
  await own.ready();
  const driven = await pageOf(browser);
  await look(t, driven, own, [
    ['/', 200, /Tonight|forecast/i],
    ['/nights', 200, /Nights/],
    ['/beds', 200, /Beds/],
    ['/stock', 200, /Stock/],
    ['/year', 200, /Year/],
    ['/print/cuts', 200, /Cut list/],
    ['/diary', 200, /Diary/],
    ['/knows', 200, /How it knows/],
  ]);
});

test('a garden file that cannot be read', async (t) => {
  const own = await garden(t, 'wisconsin');
  own.edit((text) => text.replace('length_ft = 40', 'length_ft = "long"'));
  await own.working();
  await own.ready();
  const driven = await pageOf(browser);
  await look(t, driven, own, [['/', 200, /./], ['/nights', 200, /./], ['/diary', 200, /./]]);
  await driven.page.goto(`${own.address}/`);
  assert.match(await driven.page.locator('main').innerText(), /length_ft/);
});

test('a forecast file of no known kind', async (t) => {
  const own = await garden(t, 'jura');
  const driven = await pageOf(browser);
  const { page } = driven;
  await page.goto(`${own.address}/forecast`);
  await page.getByLabel('Forecast file').setInputFiles({ name: 'f.json', mimeType: 'application/json', buffer: Buffer.from('{}') });
  await page.getByRole('button', { name: 'Use it' }).click();
  await page.locator('.fault').waitFor();
  await good(driven, /forecast/);
});

// Each form with something wrong in it: the field is marked and says what is expected, what was typed is still there.
test('something wrong typed into each form', async (t) => {
  const own = await garden(t, 'wisconsin');
  const before = own.read('garden.toml');
  const driven = await pageOf(browser);
  const { page } = driven;
  for (const [path, field, button] of [
    ['/beds/1', 'Length', 'Save'],
    ['/beds/new', 'Width', 'Save'],
    ['/garden', 'Latitude', 'Save'],
    ['/stock', 'Pins', 'Save'],
    ['/stock/1', 'Length', 'Save'],
    ['/diary', 'Temperature', 'Write down the reading'],
  ]) {
    await t.test(path, async () => {
      await page.goto(own.address + path);
      if (path === '/beds/1') await page.getByText('The bed', { exact: true }).first().click();
      await page.getByLabel(new RegExp(`^${field}`)).first().fill('plenty');
      await page.getByRole('button', { name: button, exact: true }).click();
      const marked = page.locator('[aria-invalid=true]');
      await marked.first().waitFor();
      assert.ok((await marked.evaluateAll((all) => all.map((i) => i.value))).includes('plenty'));
      const said = await marked.first().evaluate((i) => document.getElementById(i.getAttribute('aria-describedby')).innerText);
      assert.ok(said.length > 5, said);
      await good(driven, /./);
      assert.equal(own.read('garden.toml'), before, 'nothing is written');
    });
  }
});

test('a closed door', async (t) => {
  const own = await garden(t, 'jura', { door: 'a long enough secret' });
  const driven = await pageOf(browser);
  const { page } = driven;
  await look(t, driven, own, [['/enter', 200, /Password/]]);
  await page.getByLabel('Password').fill('guess');
  await page.getByRole('button', { name: 'Come in' }).click();
  await page.locator('.fault').waitFor();
  await good(driven, /Password/);
  await page.getByLabel('Password').fill('a long enough secret');
  await page.getByRole('button', { name: 'Come in' }).click();
  await page.getByRole('heading', { name: /Tonight/ }).waitFor();
  await good(driven, /Tonight/);
});

/** The least that a garden is. */
const bare = `name = "Bare"
units = "metric"

[place]
latitude = 46.75
longitude = 5.90
elevation_m = 520
zone = "Europe/Paris"

[site]
soil = "loam"
exposure = "open"

[labour]
people = 1
minutes_each = 30
worth_of_hour = 12

[stock]
pins = 20
clips = 0

[[bed]]
name = "bed 1"
length_m = 5
width_cm = 80
wetness = "damp"
`;
