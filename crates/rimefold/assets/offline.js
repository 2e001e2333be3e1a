// Works beside the pages: without a connection the last plan can still be read, with its age above it. It comes after
// kept.js and the names of the files that pages need.

const PAGES = 'pages';
const SHELL = `files ${FILES.join(' ')}`;
/** So long an answer is waited for where a page is kept, ms. */
const PATIENCE = 6000;
/** The most that is kept of one page, characters. */
const LARGEST = 60_000;
// Counts the times that all was forgotten, so that what was asked for before is not kept after.
let forgotten = 0;

self.addEventListener('install', (event) => {
  self.skipWaiting();
  event.waitUntil(caches.open(SHELL).then((shell) => shell.addAll(FILES)));
});

self.addEventListener('activate', (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name !== PAGES && name !== SHELL) await caches.delete(name);
  await self.clients.claim();
  await renew('/').catch(() => {});
})()));

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (origin !== self.location.origin) return;
  if (request.method === 'POST' && pathname.startsWith('/leave')) event.respondWith(leave(request));
  else if (request.method !== 'GET') return;
  else if (request.mode === 'navigate') event.respondWith(page(event));
  else if (FILES.some((file) => file.split('?')[0] === pathname)) event.respondWith(file(request));
});

// Ticks are sent when the connection is back, even if no page is open.
self.addEventListener('sync', (event) => event.waitUntil((async () => {
  const why = await ticks.send();
  if (why === 'away') throw new Error('not yet');
  await renew('/');
  for (const page of await self.clients.matchAll()) page.postMessage('sent');
})()));

/** A page, from the server where it answers. */
async function page(event) {
  const { request } = event;
  const old = await kept(request.url);
  const then = forgotten;
  const asked = fetch(request).then((answer) => {
    if (old && LATER.includes(answer.status)) throw new Error('no answer');
    event.waitUntil(keep(answer.clone(), request.url, then));
    return answer;
  });
  // Comes too late to be shown, but is kept.
  event.waitUntil(asked.catch(() => {}));
  try {
    return await (old ? Promise.race([asked, new Promise((_, late) => setTimeout(late, PATIENCE))]) : asked);
  } catch {
    return old ? aged(old) : nothing();
  }
}

async function file(request) {
  const shell = await caches.open(SHELL);
  const same = await shell.match(request);
  if (same) return same;
  // A page kept by an older version asks for older files.
  return fetch(request).catch(async () => (await shell.match(request, { ignoreSearch: true })) ?? Response.error());
}

async function kept(address) {
  const pages = await caches.open(PAGES);
  return (await pages.match(address)) ?? pages.match(address, { ignoreSearch: true });
}

/** Keeps a page that shows a plan, unless all was forgotten since `then`; forgets all where the server asks who comes. */
async function keep(answer, address, then) {
  if (new URL(answer.url || address).pathname === '/enter') return forget();
  if (!answer.ok || answer.redirected) return;
  const text = await answer.text();
  const made = text.match(/ data-made="([^"]*)"/);
  if (!made || text.length > LARGEST) return;
  const headers = new Headers(answer.headers);
  headers.set('kept-at', Date.now());
  const before = await kept(address);
  const old = before && (await before.text()).includes(made[0]);
  // What is being made anew will not come while nobody answers.
  const plain = text.replace(/<p class="note" role="status" data-working[^]*?<\/p>/, '');
  const pages = await caches.open(PAGES);
  if (then !== forgotten) return;
  await pages.put(address, new Response(plain, { headers }));
  if (then !== forgotten) return forget();
  if (new URL(address).pathname === '/' && !old) await keepNights(text);
}

/** Keeps what belongs to a new plan: the list to print, and the night of each bed. */
async function keepNights(text) {
  const nights = new Set([...text.matchAll(/href="(\/night\/\d+)"/g)].map((found) => found[1]));
  for (const path of ['/print/night', ...[...nights].slice(0, 40)]) {
    await renew(path);
  }
}

/** Keeps a page as it is now. */
async function renew(path) {
  const [address, then] = [new URL(path, self.location).href, forgotten];
  await keep(await fetch(address), address, then);
}

async function forget() {
  forgotten += 1;
  await caches.delete(PAGES);
}

async function leave(request) {
  await forget();
  const answer = await fetch(request);
  await forget();
  return answer;
}

/** A kept page with its age above it. */
async function aged(old) {
  const since = Math.max(0, (Date.now() - old.headers.get('kept-at')) / 1000);
  const text = (await old.text()).replace(/ data-age="(\d+)" data-made="([^"]*)">/, (_, age, made) => {
    const now = Math.round(Number(age) + since);
    return ` data-age="${now}" data-made="${made}">${keptNote(now, made)}`;
  });
  return new Response(text, { headers: old.headers });
}

function nothing() {
  const text = `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark"><title>No connection</title><link rel="stylesheet" href="${STYLE}">
<main><h1>No connection</h1><p>The garden’s computer does not answer, and this page is not kept on this phone.</p>
<p><a class="button" href="">Look again</a> <a class="button second" href="/">Tonight</a></p></main>`;
  const headers = { 'content-type': 'text/html; charset=utf-8', 'content-security-policy': "default-src 'none'; style-src 'self'" };
  return new Response(text, { status: 503, headers });
}

// A message: what to do is its title; one that comes twice is shown once.
self.addEventListener('push', (event) => {
  const said = event.data?.json() ?? {};
  const { title = 'Look at the garden', body = '', id, urgent = false } = said;
  event.waitUntil(self.registration.showNotification(title, { body, tag: id, icon: '/mark-192.png', requireInteraction: urgent }));
});

self.addEventListener('notificationclick', (event) => {
  event.notification.close();
  event.waitUntil(self.clients.openWindow('/'));
});
