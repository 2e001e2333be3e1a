// On paper: what a screen needs is gone, and the night sheet fits two pages of Letter and of A4.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { open, pageOf } from './browser.mjs';
import { garden } from './garden.mjs';

let browser;
before(async () => { browser = await open(); });
after(() => browser.close());

/** Pages of a PDF that Chromium wrote: its page objects are not packed. */
const pages = (pdf) => (pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g) ?? []).length;

for (const [name, format] of [['wisconsin', 'Letter'], ['jura', 'A4']]) {
  test(`the night sheet of ${name} on ${format}`, async (t) => {
    const own = await garden(t, name);
    const { page } = await pageOf(browser, { colorScheme: 'dark' });
    await page.goto(`${own.address}/print/night`);
    await page.emulateMedia({ media: 'print' });
    for (const gone of ['nav', 'footer', '.skip', 'main .button']) {
      assert.ok(!(await page.locator(gone).first().isVisible()), `${gone} is not printed`);
    }
    const ink = await page.evaluate(() => [getComputedStyle(document.documentElement).backgroundColor, getComputedStyle(document.body).color]);
    assert.deepEqual(ink, ['rgb(255, 255, 255)', 'rgb(0, 0, 0)'], 'black on white whatever the screen was');
    assert.ok(await page.getByText('tick when done').isVisible());
    const pdf = await page.pdf({ format, margin: { top: '12mm', bottom: '12mm', left: '12mm', right: '12mm' } });
    assert.ok(pages(pdf) >= 1 && pages(pdf) <= 2, `${pages(pdf)} pages`);
  });
}

test('the cut list has no control signs and breaks its lines', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser);
  await page.goto(`${own.address}/print/cuts`);
  const text = await page.locator('pre').innerText();
  assert.doesNotMatch(text, /[\u0000-\u0008\u000b-\u001f]/);
  assert.ok(await page.locator('pre').evaluate((e) => e.scrollWidth <= e.clientWidth), 'no line is cut off');
});

test('every page prints without its list of pages', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser);
  await page.emulateMedia({ media: 'print' });
  for (const path of ['/', '/nights', '/beds', '/stock', '/diary', '/knows', '/print/cuts']) {
    await page.goto(own.address + path);
    assert.ok(!(await page.locator('nav').isVisible()), path);
    assert.ok(await page.locator('h1').isVisible(), path);
  }
});
