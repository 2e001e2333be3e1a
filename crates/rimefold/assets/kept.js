'use strict';
// What this phone keeps until the garden's computer has it: ticks, in the order made. Used by the pages and beside them.

const store = async (mode, ask) => {
  const db = await new Promise((done, failed) => {
    const asked = indexedDB.open('rimefold', 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore('ticks', { keyPath: 'n', autoIncrement: true });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
  try {
    return await new Promise((done, failed) => {
      const work = db.transaction('ticks', mode, { durability: 'strict' });
      const asked = ask(work.objectStore('ticks'));
      work.oncomplete = () => done(asked.result);
      work.onabort = () => failed(work.error);
    });
  } finally {
    db.close();
  }
};

const ticks = {
  /** Those not sent yet: where to, its fields, what it says, when it was made, and in markup why it was refused. */
  all: () => store('readonly', (s) => s.getAll()),
  keep: (tick) => store('readwrite', (s) => s.put(tick)),
  drop: (tick) => store('readwrite', (s) => s.delete(tick.n)),
  /** Sends them in order; one is dropped when the diary has it. Says why some are left, or 'sent'. */
  send: () => (navigator.locks ? navigator.locks.request('ticks', sendAll) : sendAll()),
};

const idOf = (tick) => new URLSearchParams(tick.body).get('id');
// No answer, or one that says "later": nothing is wrong with what was sent.
const LATER = [408, 429, 502, 503, 504, 507];

async function sendAll() {
  const refused = new Set();
  for (const tick of await ticks.all()) {
    // What was never taken need not be taken back.
    if (tick.path === '/undo' && refused.has(idOf(tick))) await ticks.drop(tick);
    else if (tick.refused) refused.add(idOf(tick));
    else {
      const why = await sendOne(tick);
      if (why === 'refused') refused.add(idOf(tick));
      else if (why !== 'sent') return why;
    }
  }
  return 'sent';
}

async function sendOne(tick) {
  const body = new URLSearchParams(tick.body);
  if (tick.path === '/cover') body.set('ago', Math.max(0, Math.round((Date.now() - tick.made) / 1000)));
  let answer, text;
  try {
    answer = await fetch(tick.path, { method: 'POST', body, signal: AbortSignal.timeout(30_000) });
    text = await answer.text();
  } catch {
    return 'away';
  }
  if (new URL(answer.url).pathname === '/enter') return 'door';
  // Saved, or there already: the server sends on.
  if (answer.redirected) {
    await ticks.drop(tick);
    return 'sent';
  }
  if (LATER.includes(answer.status)) return answer.status === 507 ? 'full' : 'away';
  const exact = text.match(/<pre>([^<]*)<\/pre>/);
  await ticks.keep({ ...tick, refused: exact ? exact[1] : `Answer ${answer.status}.` });
  return 'refused';
}

/** How long something is ago. */
const howLong = (seconds) => {
  const minutes = Math.floor(Math.max(0, seconds) / 60);
  if (minutes < 1) return 'less than a minute';
  if (minutes < 90) return `${minutes} min`;
  const hours = Math.round(minutes / 60);
  return hours < 48 ? `${hours} h` : `${Math.round(hours / 24)} days`;
};

const ageOfPlan = (seconds) => `This plan is ${howLong(seconds)} old.`;

/** What stands large above a plan that cannot be asked for anew; `made` is markup. */
const keptNote = (seconds, made) => `<div class="note bad kept" role="status"><p><strong>${ageOfPlan(seconds)}</strong></p>`
  + `<p>${seconds > 12 * 3600 ? 'It may be for a night that is over. ' : ''}Made ${made}, kept on this phone. No connection to the garden’s computer. `
  + '<a href="">Look again</a></p></div>';
