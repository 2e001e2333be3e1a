// Chromium, headless, and a page that notices what a page must not do.
import { existsSync } from 'node:fs';
import { chromium } from 'playwright-core';

const quiet = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--no-first-run',
];
const places = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/snap/bin/chromium'];

/** The browser that is installed, with these switches besides; `CHROMIUM` names another. */
export function open(...more) {
  const executablePath = process.env.CHROMIUM ?? places.find(existsSync);
  return chromium.launch({ executablePath, headless: true, args: [...quiet, ...more] });
}

/** A page that gathers what went wrong in it: foreign requests, errors and refused loads on the console, its weight. */
export async function pageOf(browser, how = {}) {
  const context = await browser.newContext({ viewport: { width: 360, height: 740 }, ...how });
  // Long enough for a machine that does three other things; a page that never comes still fails.
  context.setDefaultTimeout(60_000);
  const page = await context.newPage();
  const wrong = [];
  const loaded = new Map();
  const own = (url) => url.startsWith('data:') || new URL(url).hostname === '127.0.0.1';
  page.on('request', (request) => {
    if (request.isNavigationRequest()) loaded.clear();
    if (!own(request.url())) wrong.push(`asks elsewhere: ${request.url()}`);
  });
  page.on('response', (response) => loaded.set(response.url(), response));
  page.on('pageerror', (error) => wrong.push(`script: ${error.message}`));
  page.on('console', (message) => {
    // Chromium logs every answer of 400 and up; those are looked at by their own tests.
    const expected = message.text().startsWith('Failed to load resource');
    if (message.type() === 'error' && !expected) wrong.push(`console: ${message.text()}`);
  });
  return { page, context, wrong, weight: () => weight(loaded) };
}

/** Bytes of everything loaded since the last navigation, unpacked. */
async function weight(loaded) {
  let bytes = 0;
  for (const response of loaded.values()) {
    if (response.status() < 300 || response.status() >= 400) bytes += (await response.body()).length;
  }
  return bytes;
}
