// A phone asks to be told on the page of messages, and shows what it is told. No push service of a maker is asked: the browser
// is handed the address and keys that one would give, and the message as one would bring it.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { open, pageOf } from './browser.mjs';
import { garden } from './garden.mjs';

let browser;
before(async () => { browser = await open(); });
after(() => browser.close());

test('this phone asks to be told, is named, and can be told no more', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser, { viewport: { width: 390, height: 844 }, serviceWorkers: 'allow' });
  await page.addInitScript(() => {
    PushManager.prototype.subscribe = async ({ userVisibleOnly, applicationServerKey }) => ({
      endpoint: `https://push.example.org/${userVisibleOnly}/${applicationServerKey.length}/${applicationServerKey[0]}`,
      getKey: (name) => Uint8Array.from({ length: name === 'auth' ? 16 : 65 }, (_, n) => n + 200).buffer,
    });
  });
  await page.goto(`${own.address}/messages`);
  await page.getByRole('button', { name: 'Tell this phone' }).click();
  await page.getByText('Told: phone 1.').waitFor();
  // An uncompressed point of P-256 begins with 4 and has 65 bytes.
  const kept = JSON.parse(await own.read('push-phones'));
  assert.deepEqual(kept.map(({ name, endpoint }) => [name, endpoint]), [['phone 1', 'https://push.example.org/true/65/4']]);
  assert.equal(kept[0].auth, Buffer.from(Uint8Array.from({ length: 16 }, (_, n) => n + 200)).toString('base64url'));
  await page.getByRole('button', { name: 'Tell phone 1 no more' }).click();
  await page.getByText('Nobody is told yet.').waitFor();
});

test('without script nobody is offered what needs it', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page } = await pageOf(browser, { javaScriptEnabled: false });
  await page.goto(`${own.address}/messages`);
  assert.equal(await page.getByRole('button', { name: 'Tell this phone' }).isVisible(), false);
});

test('a message is shown once, whatever it is', async (t) => {
  const own = await garden(t, 'wisconsin');
  const { page, context } = await pageOf(browser, { serviceWorkers: 'allow' });
  await context.grantPermissions(['notifications'], { origin: own.address });
  await page.goto(`${own.address}/`);
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  const client = await context.newCDPSession(page);
  const registered = new Promise((done) => {
    client.on('ServiceWorker.workerRegistrationUpdated', ({ registrations }) => { if (registrations.length) done(registrations[0]); });
  });
  await client.send('ServiceWorker.enable');
  const { registrationId } = await registered;
  const message = (data) => client.send('ServiceWorker.deliverPushMessage', { origin: own.address, registrationId, data });
  const shown = () => page.evaluate(async () => {
    const beside = await navigator.serviceWorker.ready;
    return (await beside.getNotifications()).map(({ title, body, tag }) => ({ title, body, tag }));
  });
  const until = async (count) => {
    for (let i = 0; i < 100 && (await shown()).length !== count; i++) await new Promise((done) => { setTimeout(done, 100); });
    return shown();
  };
  const said = { id: 'one', title: 'Cover 8 beds. Start by 8:19 pm.', body: '1. strawberries', urgent: true };
  await message(JSON.stringify(said));
  await message(JSON.stringify(said));
  assert.deepEqual(await until(1), [{ title: said.title, body: said.body, tag: 'one' }]);
});
