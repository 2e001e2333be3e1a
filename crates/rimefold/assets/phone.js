// In the garden without a connection: ticks are kept on this phone, shown and sent later, and an old plan tells its age.

navigator.serviceWorker?.addEventListener('message', () => goOn());

/** After so long on the screen it is asked whether the garden's computer is still there, ms. */
const FRESH = 10 * 60_000;
const LOOK_EVERY = 30_000;
const main = () => document.getElementById('main');
const pathOf = (form) => new URL(form.action).pathname;
const waiting = async () => (await ticks.all().catch(() => [])).some((tick) => !tick.refused);
const make = (tag, words, more) => Object.assign(document.createElement(tag), { textContent: words, ...more });
const button = (words, does) => {
  const made = make('button', words, { type: 'button', className: 'second' });
  made.addEventListener('click', does);
  return made;
};

/** The plan afresh after something was sent; other pages stay, for something may be typed there. */
const goOn = () => (main().dataset.age ? location.reload() : showTicks());

/** Writes the plan's age above it, or anew where it stands there. */
const showAge = () => {
  const { age, made } = main().dataset;
  if (!age) return;
  const now = Number(age) + (Date.now() - performance.timeOrigin) / 1000;
  const old = document.querySelector('.kept strong');
  if (old) old.textContent = ageOfPlan(now);
  else main().insertAdjacentHTML('afterbegin', keptNote(now, make('p', made).innerHTML));
};

/** Keeps a tick on this phone; false where the phone keeps nothing. */
const keepTick = async (form, body) => {
  const bed = form.closest('.task')?.querySelector('h3').textContent.replace(/^\d+ /, '') ?? 'a note';
  const named = [...form.querySelectorAll('button[aria-label]')];
  const pressed = named.find((b) => b.value && b.value === body.get('act')) ?? named[0];
  const what = pressed ? pressed.getAttribute('aria-label') : `${bed}: taken back`;
  if (!(await keep({ path: pathOf(form), body: body.toString(), what }))) return false;
  showAge();
  await showTicks();
  look();
  return true;
};
const keep = async (tick) => {
  try {
    await ticks.keep({ ...tick, made: Date.now() });
    // So that every page looks after it.
    localStorage.unsent = 'yes';
  } catch {
    return false;
  }
  navigator.storage?.persist?.().catch(() => {});
  navigator.serviceWorker?.ready.then((beside) => beside.sync?.register('ticks')).catch(() => {});
  return true;
};

/** Shows what is kept: in the rows of the beds, and above them how much it is and what was refused. */
const showTicks = async (why) => {
  const all = await ticks.all().catch(() => []);
  if (all.length === 0) delete localStorage.unsent;
  document.querySelectorAll('.mine').forEach((e) => e.remove());
  document.querySelectorAll('.waits').forEach((e) => e.classList.remove('waits'));
  if (all.length === 0) return;
  const left = all.filter((tick) => !tick.refused).length;
  const count = (n) => `${n} ${n === 1 ? 'tick' : 'ticks'} kept on this phone`;
  const note = make('div', '', { className: 'note mine' });
  note.setAttribute('role', 'status');
  const above = document.querySelector('.kept');
  if (above) above.after(note); else main().prepend(note);
  // Who has not come in reads no names.
  if (location.pathname === '/enter') return note.append(make('p', `${count(all.length)}, sent once you have come in.`));
  const ending = { door: 'Come in to send them.', full: 'The garden’s computer cannot save them: its disk is full or closed to writing.' };
  if (left) note.append(make('p', `${count(left)}, will be sent. ${ending[why] ?? ''}`));
  if (why === 'door') note.append(make('a', 'Come in', { href: '/enter', className: 'button' }));
  const list = note.appendChild(make('ul', ''));
  const takenBack = new Set(all.filter((t) => t.path === '/undo').map(idOf));
  const own = new Set(all.filter((t) => t.path === '/cover').map(idOf));
  for (const tick of all) {
    const said = make('strong', `✓ ${tick.what}, ${clockOf(tick.made)}`);
    const row = rowOf(tick);
    if (tick.refused) list.append(refused(tick, said));
    else if (tick.path === '/undo' ? own.has(idOf(tick)) : takenBack.has(idOf(tick))) newName(tick);
    else if (!row) list.appendChild(make('li', '')).append(said);
    else {
      row.classList.add('waits');
      const line = row.appendChild(make('p', '', { className: 'mine' }));
      line.append(said, make('span', 'Kept on this phone, will be sent.', { className: 'quiet' }));
      if (tick.path === '/cover') line.append(button('Undo', () => takeBack(tick)));
    }
  }
  if (list.children.length === 0) list.remove();
  const done = document.querySelectorAll('ol .waits:not(.done)').length;
  const foot = document.querySelector('.foot strong');
  if (done && foot) foot.append(make('span', `, ${done} kept`, { className: 'mine' }));
};

const clockOf = (moment) => new Date(moment).toLocaleTimeString([], { hour: 'numeric', minute: '2-digit' }).toLowerCase();

/** The row with the form that a tick came from. */
const rowOf = (tick) => {
  const fields = new URLSearchParams(tick.body);
  const came = (form) => pathOf(form) === tick.path && (tick.path === '/undo'
    ? form.elements.id.value === fields.get('id')
    : form.elements.bed.value === fields.get('bed') && [...form.querySelectorAll('[name=act]')].some((e) => e.value === fields.get('act')));
  return [...document.querySelectorAll('.task form')].find(came)?.closest('.task');
};

const refused = (tick, said) => {
  const line = make('li', '');
  const again = async () => { await ticks.keep({ ...tick, refused: '' }); look(); };
  const drop = async () => { await ticks.drop(tick); showTicks(); };
  line.append(said, make('p', 'Not taken. ', { className: 'fault' }), button('Send again', again), ' ', button('Forget it', drop));
  // Came as markup, without any element in it.
  line.querySelector('p').insertAdjacentHTML('beforeend', tick.refused);
  return line;
};

/** Taken back before it was sent: both are sent, for the tick may have arrived and only its answer been lost. */
const takeBack = async (tick) => {
  const bed = new URLSearchParams(tick.body).get('bed');
  await keep({ path: '/undo', body: new URLSearchParams({ id: idOf(tick), back: '/' }).toString(), what: `${bed}: taken back` });
  await showTicks();
};

/** A row ticked, taken back and ticked again is another entry. */
const newName = (tick) => {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  for (const field of document.querySelectorAll(`.task form[action^="/cover"] [name=id][value="${idOf(tick)}"]`)) {
    field.value = [...bytes].map((b) => b.toString(16).padStart(2, '0')).join('');
  }
};

/** Sends what is kept, and asks whether an old plan can be had anew; `again` where somebody has just come back to it. */
let looking = false;
const look = async (again) => {
  const old = document.querySelector('.kept');
  const long = main().dataset.age && Date.now() - performance.timeOrigin > FRESH;
  if (looking || location.pathname === '/enter') return;
  looking = true;
  try {
    const some = await waiting();
    if (!some && !old && !long) return;
    const there = () => fetch('/standing', { signal: AbortSignal.timeout(6000) }).then((a) => a.ok, () => false);
    const why = some ? await ticks.send() : await there() ? 'sent' : 'away';
    if (why === 'sent' && (some || old || again)) goOn();
    if (why === 'away') showAge();
    if (why !== 'sent') await showTicks(why);
  } finally {
    looking = false;
  }
};
const onScreen = () => document.visibilityState === 'visible';
showTicks().then(() => look());
addEventListener('online', () => look());
document.addEventListener('visibilitychange', () => { if (onScreen()) look(true); });
setInterval(() => { if (onScreen()) look(); }, LOOK_EVERY);
document.addEventListener('click', (event) => {
  if (!event.target.closest('.kept a')) return;
  event.preventDefault();
  look(true);
});
