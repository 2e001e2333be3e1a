// On the phone without a connection: the last plan with its age, ticks that are sent later, and nothing left after leaving.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { open, pageOf } from './browser.mjs';
import { AFTERNOON, garden } from './garden.mjs';
import { good } from './looks.mjs';

// Plain HTTP by a name, as a phone at home reaches `--lan`: no script may work beside the pages there.
const NAME = 'garden.example';
let browser;
before(async () => { browser = await open(`--host-resolver-rules=MAP ${NAME} 127.0.0.1`); });
after(() => browser.close());

const HOUR = 3600;
/** A phone whose pages are kept once the garden has been looked at. */
async function phone(own, path = '/', how = {}) {
  const driven = await pageOf(browser, { viewport: { width: 390, height: 844 }, serviceWorkers: 'allow', ...how });
  await driven.page.goto(own.address + path);
  return driven;
}
const keptPaths = (page) => page.evaluate(async () => {
  if (!(await caches.has('pages'))) return [];
  return (await (await caches.open('pages')).keys()).map((request) => new URL(request.url).pathname);
});
async function until(what, right) {
  for (let i = 0; i < 600; i++) {
    try {
      if (await right()) return;
    } catch { /* the page is just coming anew */ }
    await new Promise((done) => { setTimeout(done, 100); });
  }
  assert.fail(`${what} never came`);
}
/** Until the plan, its list and a night are kept on the phone. */
const isKept = (page) => until('a kept plan', async () => {
  const paths = await keptPaths(page);
  return ['/', '/print/night', '/night/1'].every((path) => paths.includes(path));
});
/** What waits on the phone, made so many seconds earlier than it was. */
const older = (page, seconds) => page.evaluate((earlier) => new Promise((done) => {
  const asked = indexedDB.open('rimefold', 1);
  asked.onsuccess = () => {
    const store = asked.result.transaction('ticks', 'readwrite').objectStore('ticks');
    store.getAll().onsuccess = ({ target }) => {
      const all = target.result.map(({ made, ...tick }) => ({ ...tick, made: made - earlier * 1000 }));
      for (const tick of all) store.put(tick);
      asked.result.close();
      done(all);
    };
  };
}), seconds);
const still = (page) => older(page, 0);
/** Lets a kept page be older than it is. */
const keptBefore = (page, seconds) => page.evaluate(async (s) => {
  const pages = await caches.open('pages');
  for (const request of await pages.keys()) {
    const old = await pages.match(request);
    const headers = new Headers(old.headers);
    headers.set('kept-at', Number(headers.get('kept-at')) - s * 1000);
    await pages.put(request, new Response(await old.text(), { headers }));
  }
}, seconds);
const notes = async (own) => (await (await fetch(`${own.address}/diary.json`)).json()).notes;
const tick = (page, bed) => page.getByRole('button', { name: `${bed} is covered` }).click();
const row = (page, bed) => page.locator('.task', { has: page.getByRole('heading', { name: new RegExp(bed) }) }).first();
/** Minutes of a note's moment after an hour of the garden's day. */
const minutesAfter = (note, local) => (Date.parse(note.at) - Date.parse(`2027-05-14T${local}-05:00`)) / 60_000;

test('without a connection the last plan is read, its age large above it', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page, context } = await phone(own);
  await isKept(page);
  const away = [
    [() => context.setOffline(true), () => context.setOffline(false)],
    [() => own.stop(), () => own.start()],
  ];
  for (const [go, back] of away) {
    await go();
    await page.reload();
    const note = page.locator('.kept');
    assert.match(await note.innerText(), /This plan is less than a minute old\.\s+Made Friday 14 May, 4:00 pm, kept on this phone\. No connection/);
    assert.ok(await page.locator('.task').count() >= 8, 'the beds are there');
    assert.ok(parseFloat(await note.locator('strong').evaluate((e) => getComputedStyle(e).fontSize)) >= 24, 'its age is large');
    for (const [path, what] of [['/night/1', /strawberries: its night/], ['/print/night', /Ridge garden/], ['/?by=person', /Tonight/]]) {
      await page.goto(own.address + path);
      assert.match(await page.locator('h1').innerText(), what);
      assert.match(await page.locator('.kept').innerText(), /This plan is .* old/);
    }
    await page.goto(`${own.address}/beds`);
    assert.match(await page.locator('main').innerText(), /not kept on this phone/);
    await keptBefore(page, 3 * HOUR);
    await page.goto(`${own.address}/`);
    assert.match(await note.innerText(), /This plan is 3 h old/);
    await keptBefore(page, 17 * HOUR);
    await page.reload();
    assert.match(await note.innerText(), /This plan is 20 h old\.\s+It may be for a night that is over/);
    await back();
    // The network that is on again is noticed; of a computer that is there again nobody tells the phone.
    if (go === away[1][0]) await note.getByText('Look again').click();
    await note.waitFor({ state: 'detached' });
    assert.match(await page.locator('h1').innerText(), /Friday 14 May/);
    await isKept(page);
  }
});

test('a plan kept on a phone is as good a page as any', async (t) => {
  const own = await garden(t, 'wisconsin');
  const driven = await phone(own);
  await isKept(driven.page);
  await own.stop();
  await driven.page.reload();
  await tick(driven.page, 'broccoli');
  await row(driven.page, 'broccoli').locator('.mine').waitFor();
  await good(driven, /Tonight/);
});

test('ticks made without a connection reach the diary once, at their own time', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await phone(own);
  await isKept(page);
  // The first one arrives and its answer is lost; the second never leaves.
  let arrived;
  await page.route('**/cover', async (route) => {
    if (arrived) return route.abort();
    await route.fetch({ maxRedirects: 0 });
    arrived = (await notes(own)).length;
    await own.stop('SIGKILL');
    return route.abort('connectionreset');
  });
  await tick(page, 'broccoli');
  await row(page, 'broccoli').locator('.mine').waitFor();
  assert.equal(arrived, 1, 'it had arrived');
  await tick(page, 'cabbage');
  await row(page, 'cabbage').locator('.mine').waitFor();
  assert.match(await row(page, 'cabbage').innerText(), /cabbage is covered, \d+:\d\d.*\s+Kept on this phone, will be sent/);
  assert.ok(!(await row(page, 'cabbage').getByRole('button', { name: 'is covered' }).isVisible()), 'not to be ticked again');
  await page.unroute('**/cover');
  await page.reload();
  assert.match(await page.locator('.note.mine').innerText(), /2 ticks kept on this phone, will be sent/);
  await row(page, 'broccoli').locator('.mine').waitFor();
  // Half past five, and the connection is back at nine.
  await older(page, 3.5 * HOUR);
  await own.start({ at: AFTERNOON.replace('16:00', '21:00') });
  await page.reload();
  await until('an empty phone', async () => (await still(page)).length === 0);
  await page.reload();
  await page.reload();
  const kept = await notes(own);
  assert.deepEqual(kept.map((n) => n.bed ?? n.what?.bed ?? JSON.stringify(n).match(/broccoli|cabbage/)[0]), ['broccoli', 'cabbage']);
  assert.ok(Math.abs(minutesAfter(kept[0], '16:00')) < 5, `as it first arrived: ${kept[0].at}`);
  assert.ok(Math.abs(minutesAfter(kept[1], '17:30')) < 5, `when it was done: ${kept[1].at}`);
  assert.equal(await page.locator('.mine').count(), 0);
  await row(page, 'cabbage').getByText(/✓ covered, 5:[23]\d pm/).waitFor();
});

test('two ticks with the network off are sent when it is on again, by itself', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page, context } = await phone(own);
  await isKept(page);
  await context.setOffline(true);
  await tick(page, 'broccoli');
  await row(page, 'broccoli').locator('.mine').waitFor();
  await tick(page, 'cabbage');
  await row(page, 'cabbage').locator('.mine').waitFor();
  assert.match(await page.locator('.kept').innerText(), /This plan is/, 'the page on the screen is no fresh one any more');
  assert.equal((await notes(own)).length, 0);
  await older(page, 60);
  await context.setOffline(false);
  await until('two notes', async () => (await notes(own)).length === 2);
  await row(page, 'cabbage').getByText(/✓ covered/).waitFor();
  await page.locator('.kept').waitFor({ state: 'detached' });
  assert.equal((await notes(own)).length, 2);
});

test('a tick taken back and made again before it is sent stands once', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await phone(own);
  await isKept(page);
  await own.stop();
  // As kept on the phone, with the same form every time it is shown.
  await page.reload();
  await tick(page, 'broccoli');
  await row(page, 'broccoli').getByRole('button', { name: 'Undo' }).click();
  await row(page, 'broccoli').locator('.mine').waitFor({ state: 'detached' });
  await page.reload();
  await page.locator('.note.mine').waitFor();
  await tick(page, 'broccoli');
  await row(page, 'broccoli').locator('.mine').waitFor();
  assert.equal((await still(page)).length, 3);
  await own.start();
  await page.reload();
  await row(page, 'broccoli').getByText(/✓ covered/).waitFor();
  const kept = await notes(own);
  assert.equal(kept.length, 3, 'covered, taken back, covered');
  assert.equal(new Set(kept.map((n) => n.id)).size, 3);
  // A tick that the diary holds is taken back from the garden.
  await own.stop();
  await row(page, 'broccoli').getByRole('button', { name: 'Undo' }).click();
  await row(page, 'broccoli').getByText('broccoli: taken back').waitFor();
  await own.start();
  await until('a bed to cover', async () => {
    await page.reload();
    return row(page, 'broccoli').getByRole('button', { name: 'broccoli is covered' }).isVisible();
  });
});

test('a tick that is refused is told and stays until somebody says otherwise', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await phone(own);
  await isKept(page);
  await own.stop();
  await tick(page, 'broccoli');
  await row(page, 'broccoli').locator('.mine').waitFor();
  await older(page, 49 * HOUR);
  await tick(page, 'cabbage');
  await row(page, 'cabbage').locator('.mine').waitFor();
  await own.start();
  await page.reload();
  const note = page.locator('.note.mine');
  await note.getByText(/Not taken\..*more than two days ago/).waitFor();
  await until('the one behind it', async () => (await notes(own)).length === 1);
  await page.reload();
  assert.match(await note.innerText(), /broccoli is covered/);
  await note.getByRole('button', { name: 'Forget it' }).click();
  await note.waitFor({ state: 'detached' });
  assert.equal((await still(page)).length, 0);
});

test('a disk that is full loses no tick', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await phone(own);
  await isKept(page);
  await own.stop();
  await tick(page, 'broccoli');
  await row(page, 'broccoli').locator('.mine').waitFor();
  await own.start();
  await page.route('**/cover', (route) => route.fulfill({ status: 507, body: 'Not saved' }));
  await page.reload();
  await page.locator('.note.mine').getByText(/disk is full/).waitFor();
  assert.equal((await still(page)).length, 1);
  await page.unroute('**/cover');
  await page.reload();
  await until('the note', async () => (await notes(own)).length === 1);
});

const DOOR = 'nine dry larch poles';
async function comeIn(page) {
  await page.getByLabel('Password').fill(DOOR);
  await page.getByRole('button', { name: 'Come in' }).click();
  await page.waitForURL((url) => url.pathname === '/');
}

test('after leaving nothing can be read without a connection', async (t) => {
  for (const word of ['Sign out', 'Sign out everywhere']) {
    const own = await garden(t, 'wisconsin', { door: DOOR });
    const { page } = await phone(own);
    await comeIn(page);
    await isKept(page);
    if (word !== 'Sign out') await page.getByRole('button', { name: 'Menu' }).click();
    await page.getByRole('button', { name: word, exact: true }).click();
    await page.waitForURL('**/enter');
    await until('an empty phone', async () => (await keptPaths(page)).length === 0);
    await own.stop();
    for (const path of ['/', '/night/1', '/print/night', '/?by=person']) {
      await page.goto(own.address + path);
      const text = await page.locator('html').innerText();
      assert.match(text, /No connection/);
      assert.doesNotMatch(text, /strawberries|Ridge/, path);
    }
  }
});

test('a visit that ended elsewhere leaves nothing to read, and no tick is lost with it', async (t) => {
  const own = await garden(t, 'wisconsin', { door: DOOR });
  const { page } = await phone(own);
  await comeIn(page);
  await isKept(page);
  await own.stop();
  await tick(page, 'broccoli');
  await row(page, 'broccoli').locator('.mine').waitFor();
  await own.start({ door: DOOR });
  const other = await pageOf(browser);
  await other.page.goto(`${own.address}/`);
  await comeIn(other.page);
  await other.page.getByRole('button', { name: 'Menu' }).click();
  await other.page.getByRole('button', { name: 'Sign out everywhere' }).click();
  await other.page.waitForURL('**/enter');
  await page.reload();
  await page.waitForURL('**/enter');
  await page.locator('main').getByText(/1 tick kept on this phone, sent once you have come in/).waitFor();
  assert.doesNotMatch(await page.locator('main').innerText(), /broccoli/);
  assert.deepEqual(await keptPaths(page), []);
  await comeIn(page);
  await row(page, 'broccoli').getByText(/✓ covered/).waitFor();
  assert.equal((await still(page)).length, 0);
});

test('ticks are sent while no page is open, where the browser can', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page, context } = await phone(own);
  await isKept(page);
  const client = await context.newCDPSession(page);
  const registered = new Promise((done) => {
    client.on('ServiceWorker.workerRegistrationUpdated', ({ registrations }) => { if (registrations.length) done(registrations[0]); });
  });
  await client.send('ServiceWorker.enable');
  const { registrationId } = await registered;
  await own.stop();
  await tick(page, 'broccoli');
  await row(page, 'broccoli').locator('.mine').waitFor();
  await page.goto('about:blank');
  await own.start();
  assert.equal((await notes(own)).length, 0);
  await client.send('ServiceWorker.dispatchSyncEvent', { origin: own.address, registrationId, tag: 'ticks', lastChance: false });
  await until('the note', async () => (await notes(own)).length === 1);
  await own.stop();
  await page.goto(`${own.address}/`);
  await row(page, 'broccoli').getByText(/✓ covered/).waitFor();
  assert.equal(await page.locator('.mine').count(), 0);
});

test('by plain HTTP, where no page can be kept, ticks are kept all the same and the plan tells its age', async (t) => {
  const home = { door: DOOR, more: ['--name', NAME] };
  const own = await garden(t, 'wisconsin', home);
  const { page } = await pageOf(browser, { serviceWorkers: 'allow' });
  await page.goto(`${own.address.replace('127.0.0.1', NAME)}/`);
  await comeIn(page);
  assert.equal(await page.evaluate(() => isSecureContext || 'serviceWorker' in navigator), false);
  await page.getByRole('button', { name: 'broccoli is covered' }).waitFor();
  await own.stop();
  await tick(page, 'broccoli');
  await row(page, 'broccoli').locator('.mine').waitFor();
  assert.match(await page.locator('.kept').innerText(), /This plan is/);
  await page.locator('.kept').getByText('Look again').click();
  await row(page, 'broccoli').locator('.mine').waitFor();
  await own.start(home);
  await page.locator('.kept').getByText('Look again').click();
  await row(page, 'broccoli').getByText(/✓ covered/).waitFor();
  assert.equal((await page.evaluate(async () => (await fetch('/diary.json')).json())).notes.length, 1);
});

test('the pages can be put on a home screen', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page, context } = await phone(own);
  await isKept(page);
  const client = await context.newCDPSession(page);
  const { installabilityErrors } = await client.send('Page.getInstallabilityErrors');
  assert.deepEqual(installabilityErrors.map((e) => e.errorId).filter((e) => e !== 'in-incognito'), []);
  const { url, errors } = await client.send('Page.getAppManifest');
  assert.deepEqual([new URL(url).pathname, errors], ['/rimefold.webmanifest', []]);
  const manifest = await (await fetch(url)).json();
  assert.deepEqual([manifest.name, manifest.start_url, manifest.scope, manifest.display], ['Rimefold', '/', '/', 'standalone']);
  for (const { src, sizes, type } of manifest.icons) {
    const answer = await fetch(own.address + src);
    assert.deepEqual([answer.status, answer.headers.get('content-type')], [200, type]);
    const picture = Buffer.from(await answer.arrayBuffer());
    // Width and height of a PNG: https://www.w3.org/TR/png-3/#11IHDR
    if (type === 'image/png') assert.equal(`${picture.readUInt32BE(16)}x${picture.readUInt32BE(20)}`, sizes);
  }
  const sizes = (purpose) => manifest.icons.filter((i) => (i.purpose ?? 'any') === purpose).map((i) => i.sizes);
  assert.ok(sizes('any').includes('192x192') && sizes('any').includes('512x512') && sizes('maskable').includes('512x512'));
  const beside = await fetch(`${own.address}/offline.js`);
  assert.equal(beside.headers.get('cache-control'), 'no-cache');
  assert.match(beside.headers.get('content-security-policy'), /worker-src 'self'/);
});
