'use strict';
// Comfort only: every page works without it.

// What is kept on a phone is looked after by a script of its own: it comes when it is needed, and where offline.js keeps it
// for then, only then.
const address = document.currentScript.dataset.phone;
let phone;
const withPhone = () => phone ??= new Promise((done, failed) => {
  document.head.append(Object.assign(document.createElement('script'), { src: address, onload: done, onerror: failed }));
}).catch((lost) => { phone = undefined; throw lost; });
const unsent = () => { try { return localStorage.unsent; } catch { return ''; } };
const mayNeedIt = () => withPhone().catch(() => {});
if (navigator.serviceWorker) navigator.serviceWorker.register('/offline.js', { updateViaCache: 'none' }).catch(() => {});
if (!navigator.serviceWorker || unsent() || document.querySelector('.kept')) mayNeedIt();
for (const what of ['online', 'offline']) addEventListener(what, mayNeedIt);
document.addEventListener('visibilitychange', mayNeedIt);
// Ten minutes on the screen: is the plan still the garden’s?
setTimeout(mayNeedIt, 600_000);

// While a plan is being made, look again by itself.
if (document.querySelector('[data-working]')) {
  const look = async () => {
    try {
      const answer = await fetch('/standing', { headers: { accept: 'text/plain' } });
      const word = (await answer.text()).trim();
      if (answer.ok && word !== 'working') return location.reload();
    } catch { /* the server is away; the page stays as it is */ }
    setTimeout(look, 1500);
  };
  setTimeout(look, 1000);
}

// A first garden where the browser is: only when asked, and nothing leaves this machine and the garden's.
const offer = () => {
  const where = document.querySelector('[data-where]');
  if (!where || !navigator.geolocation || !isSecureContext) return;
  where.hidden = false;
  const fill = (name, value) => { document.getElementById(name).value = value; };
  where.addEventListener('click', () => navigator.geolocation.getCurrentPosition(({ coords }) => {
    fill('latitude', coords.latitude.toFixed(2));
    fill('longitude', coords.longitude.toFixed(2));
    fill('high', coords.altitude === null ? '' : Math.round(coords.altitude));
    where.form.requestSubmit(document.querySelector('[data-here]'));
  }, () => { document.getElementById('where').textContent = 'The browser does not tell where it is.'; }));
};
offer();

// Of a planting only the stages that its crop has.
document.addEventListener('change', ({ target }) => {
  const list = target.list;
  const stage = list && document.getElementById(target.name.replace(/crop$/, 'stage'));
  if (!stage) return;
  const wanted = target.value.trim().toLowerCase();
  const found = [...list.options].find((o) => o.value === wanted || o.label.split(', ').includes(wanted));
  const all = list.dataset.stages.split('|');
  const own = found && found.dataset.s ? found.dataset.s.split(' ').map((i) => all[i]) : all;
  const was = stage.value;
  stage.replaceChildren(new Option('–', ''), ...own.map((word) => new Option(word, word, false, word === was)));
});

// A form that cannot reach the server keeps what was typed and says so.
document.addEventListener('submit', async (event) => {
  const form = event.target;
  if (form.method !== 'post' || form.enctype === 'multipart/form-data') return;
  event.preventDefault();
  if (form.dataset.sent) return;
  form.dataset.sent = 'yes';
  const said = form.querySelector('.said') || form.appendChild(Object.assign(document.createElement('p'), { className: 'said fault' }));
  said.setAttribute('role', 'status');
  said.textContent = '';
  const body = new URLSearchParams(new FormData(form, event.submitter));
  const tick = ['/cover', '/undo'].includes(new URL(form.action).pathname);
  let answer, text;
  try {
    // What was kept before goes first.
    if (tick && unsent()) throw new Error('later');
    answer = await fetch(form.action, { method: 'POST', body, signal: tick ? AbortSignal.timeout(8000) : null });
    text = await answer.text();
    if (tick && [408, 429, 502, 503, 504].includes(answer.status)) throw new Error('no answer');
  } catch {
    delete form.dataset.sent;
    if (tick && await withPhone().then(() => keepTick(form, body)).catch(() => false)) return;
    said.textContent = 'Perhaps not saved: the garden’s computer does not answer. What you wrote is still here; send it again, nothing is kept twice.';
    return;
  }
  if (answer.redirected) {
    // The same page again: go there afresh, keeping the place.
    const to = new URL(answer.url);
    if (tick && to.pathname === '/enter') await withPhone().then(() => keepTick(form, body)).catch(() => {});
    const same = to.pathname + to.search === location.pathname + location.search;
    location.href = answer.url;
    if (same) location.reload();
    return;
  }
  const page = new DOMParser().parseFromString(text, 'text/html');
  document.title = page.title;
  document.body.replaceWith(page.body);
  offer();
  const first = document.querySelector('[aria-invalid=true]') || document.querySelector('[data-next]') || document.querySelector('.note.bad, h1');
  if (!first) return;
  const folded = first.closest('details');
  if (folded) folded.open = true;
  if (!first.matches('input, select, textarea')) first.tabIndex = -1;
  first.focus();
});
