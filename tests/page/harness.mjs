// @ts-check
/** What every page test needs: the browser, a page that refuses other origins, and small inputs. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { gunzipSync } from 'node:zlib';
import { chromium } from 'playwright-core';

export const BASE = process.env.UNDERFOOT_URL ?? 'http://localhost:8080/';
/** @param {string} path from the project's top */
export const inProject = (path) => fileURLToPath(new URL(`../../${path}`, import.meta.url));
export const CLIP = inProject('tests/data/clips/front-knees-in.webm');

const QUIET = [
  '--no-sandbox',
  '--disable-dev-shm-usage',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-default-apps',
  '--no-first-run',
];

/** @param {string[]} [more] further switches */
export function browser(more = []) {
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: [...QUIET, ...more] });
}

/**
 * A page whose requests and errors are watched.
 * @param {import('playwright-core').Browser} from
 * @param {import('playwright-core').BrowserContextOptions} [options]
 * @param {string} [at] the page's address
 */
export async function open(from, options = {}, at = BASE) {
  const context = await from.newContext({ viewport: { width: 1280, height: 800 }, reducedMotion: 'reduce', ...options });
  const page = await context.newPage();
  /** @type {string[]} */
  const elsewhere = [];
  /** @type {string[]} */
  const errors = [];
  context.on('request', (request) => {
    const url = new URL(request.url());
    if (!['blob:', 'data:'].includes(url.protocol) && url.origin !== new URL(at).origin) elsewhere.push(request.url());
  });
  page.on('pageerror', (error) => errors.push(String(error)));
  page.on('response', (response) => {
    if (response.status() >= 400) errors.push(`${response.status()} ${response.url()}`);
  });
  page.on('console', (message) => {
    if (message.text().includes('Content Security Policy')) errors.push(message.text());
  });
  await page.goto(at);
  await page.waitForFunction(() => document.getElementById('block-version')?.textContent !== '…');
  return {
    page,
    context,
    /** Nothing left this machine, nothing failed quietly. */
    async close() {
      assert.deepEqual(elsewhere, [], 'requests to another origin');
      assert.deepEqual(errors, [], 'errors on the page');
      await context.close();
    },
  };
}

/** Answers the questions before a set. @param {import('playwright-core').Page} page @param {'yes' | 'no'} [hurts] */
export async function answerBefore(page, hurts = 'no') {
  await page.waitForSelector('#before[open]');
  await page.check(`#before input[name=hurts][value=${hurts}]`);
  await page.click('#before button[type=submit]');
}

/** The committed example as an object. */
export function exampleRecording() {
  return JSON.parse(gunzipSync(readFileSync(inProject('www/example/squats.json.gz'))).toString());
}

/** @param {string} name @param {string | Buffer} content @param {string} [mimeType] */
export function file(name, content, mimeType = 'application/json') {
  return { name, mimeType, buffer: Buffer.from(content) };
}

/** Measures the example from a file, which keeps it. @param {import('playwright-core').Page} page */
export async function measureOne(page) {
  await page.setInputFiles('#pick-keypoints', file('set.json', JSON.stringify(exampleRecording())));
  await answerBefore(page);
  await shownReps(page);
}

/** Opens the kept sets and counts them. @param {import('playwright-core').Page} page */
export async function keptSets(page) {
  await page.click('#to-records');
  await page.waitForSelector('#records:not([hidden])');
  return page.locator('table.kept tbody tr').count();
}

/** The sentence that the page shows. @param {import('playwright-core').Page} page */
export async function trouble(page) {
  await page.waitForSelector('#trouble:not([hidden])');
  return (await page.textContent('#trouble-text')) ?? '';
}

/** Repetitions in the result's table. @param {import('playwright-core').Page} page @param {number} [timeout] */
export async function shownReps(page, timeout = 30_000) {
  await page.waitForSelector('#result:not([hidden]) #result-title', { timeout });
  return page
    .locator('table.reps thead th')
    .count()
    .then((n) => Math.max(0, n - 1));
}
