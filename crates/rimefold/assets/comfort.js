// Comfort only: every page works without it.
'use strict';

// While a plan is being made, look again by itself.
const working = document.querySelector('[data-working]');
if (working) {
  const look = async () => {
    try {
      const answer = await fetch('/standing?of=' + working.dataset.working, { headers: { accept: 'text/plain' } });
      const [word, done, , of] = (await answer.text()).trim().split(' ');
      if (answer.ok && word !== 'working') return location.reload();
      const bar = working.querySelector('progress');
      if (bar && of) { bar.max = of; bar.value = done; }
    } catch { /* the server is away; the page stays as it is */ }
    setTimeout(look, 1500);
  };
  setTimeout(look, 1000);
}

// A first garden where the browser is: only when asked, and nothing leaves this machine.
const where = document.querySelector('[data-where]');
if (where && navigator.geolocation && isSecureContext) {
  where.hidden = false;
  const fill = (name, value) => { document.getElementById(name).value = value; };
  const say = (words) => { document.getElementById('where').textContent = words; };
  where.addEventListener('click', () => navigator.geolocation.getCurrentPosition(({ coords }) => {
    fill('latitude', coords.latitude.toFixed(2));
    fill('longitude', coords.longitude.toFixed(2));
    fill('zone', Intl.DateTimeFormat().resolvedOptions().timeZone);
    const high = coords.altitude === null;
    if (!high) fill('elevation', Math.round(coords.altitude / (document.getElementById('units').value === 'us' ? 0.3048 : 1)));
    say(high ? 'Filled in, but for the height above the sea.' : 'Filled in; look at the height.');
  }, () => say('The browser does not tell where it is.')));
}

// Of a planting's stages only those that its crop has.
const crops = [...document.querySelectorAll('#crops option')];
for (const crop of document.querySelectorAll('input[list=crops]')) {
  const stage = document.getElementsByName(crop.name.replace(/crop$/, 'stage'))[0];
  const narrow = () => {
    const word = crop.value.trim().toLowerCase();
    const named = crops.find((o) => o.value === word) || crops.find((o) => o.label.split(/[:,] /).includes(word));
    const has = named && named.dataset.stages.split(',');
    for (const option of stage.options) option.hidden = option.disabled = Boolean(has && option.value && !has.includes(option.value));
    if (stage.selectedOptions[0]?.disabled) stage.value = '';
  };
  crop.addEventListener('change', narrow);
  narrow();
}

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
  let answer, text;
  try {
    answer = await fetch(form.action, { method: 'POST', body });
    text = await answer.text();
  } catch {
    delete form.dataset.sent;
    said.textContent = 'Perhaps not saved: the garden’s computer does not answer. What you wrote is still here; send it again, nothing is kept twice.';
    return;
  }
  if (answer.redirected) {
    // The same page again: go there afresh, keeping the place.
    const to = new URL(answer.url);
    const same = to.pathname + to.search === location.pathname + location.search;
    location.href = answer.url;
    if (same) location.reload();
    return;
  }
  const page = new DOMParser().parseFromString(text, 'text/html');
  document.title = page.title;
  document.body.replaceWith(page.body);
  const first = document.querySelector('[aria-invalid=true]') || document.querySelector('.note.bad, h1');
  if (!first) return;
  const folded = first.closest('details');
  if (folded) folded.open = true;
  if (!first.matches('input, select, textarea')) first.tabIndex = -1;
  first.focus();
});
