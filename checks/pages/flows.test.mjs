// What a grower does, start to end, with script and without, on good lines and bad.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { open, pageOf } from './browser.mjs';
import { garden } from './garden.mjs';

let browser;
before(async () => { browser = await open(); });
after(() => browser.close());

/** How many of the diary's notes hold a text. */
async function kept(own, what) {
  const { notes } = await (await fetch(`${own.address}/diary.json`)).json();
  return notes.filter((note) => JSON.stringify(note).includes(what)).length;
}

for (const javaScriptEnabled of [true, false]) {
  const how = javaScriptEnabled ? 'with script' : 'without script';

  test(`a first garden by form, ${how}`, async (t) => {
    const own = await garden(t);
    const { page, wrong } = await pageOf(browser, { javaScriptEnabled });
    await page.goto(`${own.address}/`);
    if (!page.url().endsWith('/begin')) await page.locator('main a[href="/begin"]').first().click();
    await page.getByLabel('What do you call it?').fill('Hill “north”');
    // By name: of several the one that is meant; zone and units follow.
    await page.getByLabel('Nearest town').fill('dunedin');
    await page.getByRole('button', { name: 'Find it' }).click();
    await page.getByRole('button', { name: 'Dunedin, New Zealand' }).click();
    await page.getByText('Filled in from Dunedin').waitFor();
    assert.equal(await page.getByLabel('Time zone').inputValue(), 'Pacific/Auckland');
    assert.equal(await page.getByLabel('Units').inputValue(), 'metric');
    await page.getByLabel('Nearest town').fill("43°36'N 90°54'W");
    await page.getByRole('button', { name: 'Find it' }).click();
    await page.getByText('Filled in from the place').waitFor();
    assert.equal(await page.getByLabel('Units').inputValue(), 'us');
    assert.equal(await page.getByLabel('What do you call it?').inputValue(), 'Hill “north”', 'nothing typed is lost');
    await page.getByLabel('Latitude').fill('43.6');
    await page.getByLabel('Longitude').fill('−90,9');
    await page.getByLabel('Height above the sea').fill('1050');
    await page.getByLabel('Time zone').fill('America/Chicgo');
    await page.getByLabel('How many beds').fill('3');
    await page.getByLabel('Length of each').fill('20');
    await page.getByLabel('Width of each').fill('30');
    await page.getByRole('button', { name: 'Make the garden' }).click();
    await page.locator('#zone[aria-invalid=true]').waitFor();
    assert.equal(await page.getByLabel('What do you call it?').inputValue(), 'Hill “north”');
    await page.getByLabel('Time zone').fill('America/Chicago');
    await page.getByRole('button', { name: 'Make the garden' }).click();
    await page.waitForURL('**/beds');
    assert.match(own.read('garden.toml'), /longitude = -90\.9/);
    assert.equal(await page.locator('tbody th a').count(), 3);
    assert.doesNotMatch(own.read('garden.toml'), /^\[\[(stock.sheet|bed.planting)\]\]/m, 'nothing is invented');
    // What grows in one, found by another of its names; then nine like it.
    await page.goto(`${own.address}/beds/1`);
    await page.getByText('Add another planting …').click();
    await page.locator('[name="planting.new.has"]').check();
    const planting = (field) => page.locator(`[name="planting.new.${field}"]`);
    await planting('crop').fill('courgette');
    await planting('crop').blur();
    await planting('start').selectOption('transplant');
    await planting('stage').selectOption('transplant');
    if (javaScriptEnabled) assert.ok(await planting('stage').locator('option').count() < 8, 'only the stages it has');
    await planting('worth').fill('40');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.waitForURL('**/beds');
    await page.goto(`${own.address}/beds/1`);
    await page.getByLabel('How many more like this one?').fill('9');
    await page.getByRole('button', { name: 'Make them' }).click();
    await page.waitForURL('**/beds');
    await own.working();
    await own.ready();
    await page.goto(`${own.address}/beds`);
    assert.equal(await page.locator('tbody th a').count(), 12);
    assert.equal(own.read('garden.toml').match(/crop = "courgette"/g).length, 10);
    await page.goto(`${own.address}/`);
    assert.match(await page.locator('main').innerText(), /forecast/);
    assert.deepEqual(wrong, []);
  });

  test(`tonight: tick off, take back, ${how}`, async (t) => {
    const own = await garden(t, 'wisconsin');
    const { page, wrong } = await pageOf(browser, { javaScriptEnabled });
    await page.goto(`${own.address}/`);
    assert.match(await page.locator('h1').innerText(), /Friday 14 May/);
    const card = page.locator('.task', { has: page.getByRole('heading', { name: /broccoli/ }) }).first();
    await card.getByRole('button', { name: 'broccoli is covered' }).click();
    await card.getByText(/✓ covered, 4:0\d pm/).waitFor();
    assert.equal(await kept(own, '"broccoli"'), 1);
    await page.reload();
    assert.equal(await kept(own, '"broccoli"'), 1, 'looking again does not tick again');
    await card.getByRole('button', { name: 'Undo' }).click();
    await card.getByRole('button', { name: 'broccoli is covered' }).waitFor();
    assert.deepEqual(wrong, []);
  });

  test(`other hands tonight: planned again, a list for each, and back, ${how}`, async (t) => {
    const own = await garden(t, 'wisconsin');
    const { page, wrong } = await pageOf(browser, { javaScriptEnabled });
    const before = own.read('garden.toml');
    await page.goto(`${own.address}/`);
    const rows = page.locator('.tasks .task');
    const all = await rows.count();
    const hands = async (people, minutes) => {
      await page.getByText('Other hands or fewer minutes').click();
      await page.getByLabel('People').fill(people);
      await page.getByLabel('Minutes each').fill(minutes);
      await page.getByRole('button', { name: 'Plan again' }).click();
      await page.waitForURL((url) => url.search === (Number(people) > 1 ? '?by=person' : ''));
      await own.ready();
      await page.goto(page.url());
    };
    await hands('2', '12');
    assert.ok((await rows.count()) < all, 'fewer beds in fewer minutes');
    assert.match(await page.locator('.go').innerText(), /Two people/);
    assert.deepEqual(await page.locator('h2').filter({ hasText: /^Person \d/ }).allInnerTexts().then((h) => h.map((x) => x.slice(0, 8))), ['Person 1', 'Person 2']);
    assert.match(await page.locator('main').innerText(), /AT RISK/);
    await page.getByRole('button', { name: 'As in the garden file' }).click();
    await page.waitForURL((url) => url.search === '');
    await own.ready();
    await page.goto(`${own.address}/`);
    assert.equal(await rows.count(), all);
    assert.equal(own.read('garden.toml'), before, 'only tonight is planned otherwise');
    assert.deepEqual(wrong, []);
  });

  test(`a reading is noted, in the garden’s units, ${how}`, async (t) => {
    for (const [name, typed, shown] of [['wisconsin', '27,5', /27\.5 °F|28 °F/], ['jura', '-2.5', /[−-]2[.,]5 °C/]]) {
      const own = await garden(t, name);
      const { page, wrong } = await pageOf(browser, { javaScriptEnabled });
      await page.goto(`${own.address}/diary`);
      await page.getByLabel('Temperature').fill(typed);
      await page.getByLabel('In your words').first().fill('rime on the fence <b>');
      await page.getByRole('button', { name: 'Write down the reading' }).click();
      const card = page.locator('#kept ~ ul .card').first();
      await card.waitFor();
      assert.match(await card.innerText(), shown);
      assert.match(await card.innerText(), /rime on the fence <b>/);
      assert.equal(await page.getByLabel('Temperature').inputValue(), '', 'the form is ready for the next');
      assert.equal(await kept(own, 'rime on the fence'), 1);
      assert.deepEqual(wrong, []);
    }
  });

  test(`a bed is changed; comments in the file stay, ${how}`, async (t) => {
    const own = await garden(t, 'wisconsin');
    const before = own.read('garden.toml');
    const comments = before.split('\n').filter((line) => line.includes('#'));
    assert.ok(comments.length >= 2);
    const { page, wrong } = await pageOf(browser, { javaScriptEnabled });
    await page.goto(`${own.address}/beds`);
    await page.getByRole('link', { name: 'strawberries', exact: true }).last().click();
    await page.getByText('The bed', { exact: true }).first().click();
    await page.getByLabel(/^Length \(ft/).first().fill('36');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.waitForURL('**/beds');
    const saved = own.read('garden.toml');
    assert.equal(saved, before.replace('length_ft = 40', 'length_ft = 36'), 'only the length has changed');
    for (const line of comments) assert.ok(saved.includes(line), line);
    assert.deepEqual(wrong, []);
  });

  test(`two windows change the same bed: the second is told and loses nothing, ${how}`, async (t) => {
    const own = await garden(t, 'wisconsin');
    const one = await pageOf(browser, { javaScriptEnabled });
    const two = await pageOf(browser, { javaScriptEnabled });
    await one.page.goto(`${own.address}/beds/1`);
    await two.page.goto(`${own.address}/beds/1`);
    for (const { page } of [one, two]) await page.getByText('The bed', { exact: true }).first().click();
    await one.page.getByLabel(/^Length \(ft/).first().fill('36');
    await one.page.getByRole('button', { name: 'Save', exact: true }).click();
    await one.page.waitForURL('**/beds');
    await two.page.getByLabel(/^Width/).first().fill('34');
    await two.page.getByRole('button', { name: 'Save', exact: true }).click();
    await two.page.getByRole('alert').waitFor();
    assert.match(await two.page.getByRole('alert').innerText(), /changed by somebody else/);
    assert.equal(await two.page.getByLabel(/^Width/).first().inputValue(), '34');
    assert.match(own.read('garden.toml'), /length_ft = 36\nwidth_in = 36/, 'the first is kept, the second not yet');
    await two.page.getByRole('button', { name: 'Save', exact: true }).click();
    await two.page.waitForURL('**/beds');
    assert.match(own.read('garden.toml'), /width_in = 34/);
    assert.deepEqual([...one.wrong, ...two.wrong], []);
  });
}

test('a first garden takes the place where the browser is, when asked', async (t) => {
  const own = await garden(t);
  const { page, wrong } = await pageOf(browser, {
    geolocation: { latitude: -45.853, longitude: 170.502 }, permissions: ['geolocation'], timezoneId: 'Pacific/Auckland',
  });
  await page.goto(`${own.address}/begin`);
  assert.equal(await page.getByLabel('Latitude').inputValue(), '', 'nothing is asked by itself');
  await page.getByRole('button', { name: 'Use the place where I am' }).click();
  await page.getByText('Filled in').waitFor();
  assert.equal(await page.getByLabel('Latitude').inputValue(), '-45.85');
  assert.equal(await page.getByLabel('Longitude').inputValue(), '170.5');
  assert.equal(await page.getByLabel('Units').inputValue(), 'metric');
  assert.equal(await page.getByLabel('Time zone').inputValue(), 'Pacific/Auckland');
  assert.deepEqual(wrong, []);
});

test('the line is lost in the middle of writing: nothing typed is lost, and it is kept once', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser);
  await page.goto(`${own.address}/diary`);
  await page.getByLabel('Temperature').fill('26');
  await page.getByLabel('In your words').first().fill('by lantern');
  await own.stop('SIGKILL');
  await page.getByRole('button', { name: 'Write down the reading' }).click();
  await page.locator('.said:not(:empty)').waitFor();
  assert.match(await page.locator('.said').innerText(), /still here/);
  assert.equal(await page.getByLabel('Temperature').inputValue(), '26');
  assert.equal(await page.getByLabel('In your words').first().inputValue(), 'by lantern');
  await own.start();
  await page.getByRole('button', { name: 'Write down the reading' }).click();
  await page.locator('#kept ~ ul .card').first().waitFor();
  assert.equal(await kept(own, 'by lantern'), 1);
});

test('the answer is lost after it was written: sent again, it is kept once', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser);
  await page.goto(`${own.address}/diary`);
  await page.getByLabel('Temperature').fill('25');
  await page.getByLabel('In your words').first().fill('twice told');
  await page.route('**/diary', async (route) => {
    if (route.request().method() !== 'POST') return route.continue();
    await route.fetch({ maxRedirects: 0 });
    return route.abort('connectionreset');
  });
  await page.getByRole('button', { name: 'Write down the reading' }).click();
  await page.locator('.said:not(:empty)').waitFor();
  assert.equal(await kept(own, 'twice told'), 1, 'it had arrived');
  await page.unroute('**/diary');
  await page.getByRole('button', { name: 'Write down the reading' }).click();
  await page.locator('#kept ~ ul .card').first().waitFor();
  assert.equal(await kept(own, 'twice told'), 1);
});

test('a change of a bed is kept typed while the line is away, and saved when it is back', async (t) => {
  const own = await garden(t, 'jura');
  const { page } = await pageOf(browser);
  await page.goto(`${own.address}/beds/1`);
  await page.getByText('The bed', { exact: true }).first().click();
  await page.getByLabel(/^Width/).first().fill('77');
  await own.stop();
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.locator('.said:not(:empty)').waitFor();
  assert.equal(await page.getByLabel(/^Width/).first().inputValue(), '77');
  await own.start();
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.waitForURL('**/beds');
  assert.match(own.read('garden.toml'), /width_cm = 77/);
});

test('Save pressed twice in a hurry saves once and reports nobody else', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser);
  await page.goto(`${own.address}/beds/1`);
  await page.getByText('The bed', { exact: true }).first().click();
  await page.getByLabel(/^Length \(ft/).first().fill('35');
  await page.getByRole('button', { name: 'Save', exact: true }).dblclick();
  await page.waitForURL('**/beds');
  assert.match(own.read('garden.toml'), /length_ft = 35/);
});

test('a bed taken out in another window: the form left open never lands on its neighbour', async (t) => {
  const own = await garden(t, 'wisconsin');
  const one = await pageOf(browser);
  const two = await pageOf(browser);
  await two.page.goto(`${own.address}/beds/1`);
  await one.page.goto(`${own.address}/beds/1`);
  await one.page.getByText('Take this bed out of the garden').click();
  await one.page.getByRole('button', { name: 'Take strawberries out' }).click();
  await one.page.waitForURL('**/beds');
  const before = own.read('garden.toml');
  await two.page.getByText('The bed', { exact: true }).first().click();
  await two.page.getByLabel(/^Width/).first().fill('34');
  await two.page.getByRole('button', { name: 'Save', exact: true }).click();
  await two.page.getByText('no longer where it was').waitFor();
  assert.match(await two.page.locator('pre').innerText(), /bed\.width: 34/, 'what was typed is still there');
  assert.equal(own.read('garden.toml'), before);
});

test('what is typed into a part without ticking its box is not dropped in silence', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser);
  await page.goto(`${own.address}/beds/1`);
  await page.getByText('It is mulched …').click();
  const deep = page.getByLabel(/^How deep/);
  const box = page.getByLabel('It is mulched', { exact: true });
  await box.waitFor();
  assert.ok(!(await deep.isVisible()), 'nothing can be typed before the box is ticked');
  await box.check();
  await deep.fill('3');
  await page.getByLabel(/^Mulch between/).selectOption({ index: 1 });
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.waitForURL('**/beds');
  assert.match(own.read('garden.toml'), /mulch/);
});

test('a metric garden speaks of °C and cm, a customary one of °F and inches', async (t) => {
  for (const [name, says, never] of [['jura', /°C/, /°F|\bft\b|\bmph\b/], ['wisconsin', /°F/, /°C|\bcm\b|km\/h/]]) {
    const own = await garden(t, name);
    const { page } = await pageOf(browser);
    for (const path of ['/', '/nights', '/beds', '/beds/1', '/stock', '/print/night', '/diary']) {
      await page.goto(own.address + path);
      const text = await page.evaluate(() => document.querySelector('main').textContent
        + [...document.querySelectorAll('[aria-label]')].map((e) => e.getAttribute('aria-label')).join(' '));
      assert.deepEqual(text.match(never), null, path);
      if (path === '/') assert.match(text, says);
    }
  }
});

test('meaning without colour: states have words, lines have dashes', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser, { forcedColors: 'active' });
  await page.goto(`${own.address}/`);
  await page.getByRole('button', { name: 'cabbage is covered' }).click();
  await page.getByText(/✓ covered/).waitFor();
  await page.goto(`${own.address}/night/1`);
  const lines = await page.evaluate(() => ['covered', 'open', 'air', 'limit'].map((name) => {
    const style = getComputedStyle(document.querySelector(`svg.night .${name}`));
    return `${style.strokeDasharray} ${style.strokeWidth}`;
  }));
  assert.equal(new Set(lines).size, 4, lines.join('; '));
  const words = await page.locator('svg.night').first().innerHTML();
  for (const word of ['covered', 'open leaf', 'air outside', 'limit']) assert.ok(words.includes(word), word);
  await page.goto(`${own.address}/beds`);
  const marks = await page.evaluate(() => [...document.querySelectorAll('.plan .marked, .plan .bed')].map((e) => [e.classList.contains('marked'),
    getComputedStyle(e).strokeWidth]));
  const widths = (marked) => marks.filter((m) => m[0] === marked).map((m) => m[1]);
  assert.ok(widths(true).length && widths(false).length, 'some beds are covered tonight, some not');
  for (const width of widths(true)) assert.ok(!widths(false).includes(width), 'a covered bed has a thicker edge');
});

test('a temperature below zero by keys that have no minus', async (t) => {
  const own = await garden(t, 'jura');
  const { page, wrong } = await pageOf(browser, { javaScriptEnabled: false });
  await page.goto(`${own.address}/diary`);
  assert.equal(await page.getByLabel('Temperature').getAttribute('inputmode'), 'decimal');
  await page.getByLabel('Temperature').fill('1.5');
  await page.getByLabel('below zero').check();
  await page.getByRole('button', { name: 'Write down the reading' }).click();
  await page.locator('#kept ~ ul .card').first().waitFor();
  assert.equal(await kept(own, '-1.5'), 1);
  assert.deepEqual(wrong, []);
});
