// The service worker: a student's pages, their files and their sounds, without a network.
//
// It is started by /service-worker.js, which says in `FILLWRIGHT` what there is to keep and in
// which version. Each version has its files and pages in caches of its own, filled before the
// version before it goes: a page never meets files of another deploy. Pages are copies made
// apart from what is looked at, since what is looked at may carry messages. They are shown only
// while the student whose pages they are is signed in, as far as this device knows.
"use strict";

/**
 * What there is to keep: a version, and addresses.
 *
 * @typedef {object} Kept
 * @property {string} version
 * @property {string[]} files
 * @property {boolean} hashed whether a file's name changes with its content
 * @property {string} fallback
 * @property {string} device
 * @property {string} sounds
 * @property {string} today
 * @property {string} signIn
 * @property {string} signUp
 * @property {string} signOut
 */
/** @typedef {{student: number, often: string[], fills: string[], sounds: string}} PagesToCopy */
/** @typedef {{keep: string, changed?: boolean}} Asked the page that is looked at, and whether something was logged */

const worker = /** @type {ServiceWorkerGlobalScope & {FILLWRIGHT: Kept}} */ (/** @type {unknown} */ (self));
const KEPT = worker.FILLWRIGHT;
const FILES = `fillwright-files-${KEPT.version}`;
const PAGES = `fillwright-pages-${KEPT.version}-`; // and the number of the student
const SOUNDS = "fillwright-sounds";
const NOTES = "fillwright-notes"; // whose pages are shown, and when they were copied
const PATIENCE = 4_000; // milliseconds until a copy is shown instead of what does not come
const REST = 60_000; // milliseconds between two rounds of copying, unless something changed
const GOOD_FOR = 12 * 3_600_000; // milliseconds until the copy of a fill's page is made anew
const AT_ONCE = 3;
const WAITED_FOR = /aria-busy="true"[^>]*? (?:data-src|hx-get)="([^"]*)"/g;
const HEARD = /^\/variations\/\d+\/heard\.json$/; // a fill as "Hear" plays it, copied like a page

const files = new Set(KEPT.files);
const doors = new Set([KEPT.signIn, KEPT.signUp, KEPT.signOut]);
/** @param {string} path */
const isEntrance = (path) => path.startsWith("/enter/");

/**
 * Notes are small facts that outlive the worker: the `student` whose pages are shown (null:
 * nobody's), when they were `copied`, and which pages are `stale`.
 *
 * @typedef {{student: number | null, copied: number, stale: string[] | false}} Notes
 */

/**
 * @template {keyof Notes} Name
 * @param {Name} name
 * @returns {Promise<Notes[Name] | null>}
 */
async function note(name) {
  const found = await (await caches.open(NOTES)).match(`/${name}`);
  return found ? found.json() : null;
}

/**
 * @template {keyof Notes} Name
 * @param {Name} name
 * @param {Notes[Name]} value
 */
async function takeNote(name, value) {
  const notes = await caches.open(NOTES);
  await notes.put(`/${name}`, new Response(JSON.stringify(value)));
}

/** @param {{pages: boolean}} what whether the pages are deleted too */
async function forget({ pages }) {
  await takeNote("student", null);
  await takeNote("copied", 0);
  if (!pages) return;
  for (const name of await caches.keys()) {
    if (name.startsWith("fillwright-pages-")) await caches.delete(name);
  }
}

// Copying
/**
 * @param {string} path
 * @param {RequestInit} options
 */
const ownRequest = (path, options = {}) =>
  fetch(path, { credentials: "same-origin", cache: "no-store", ...options });

/** @returns {Promise<PagesToCopy | null>} */
async function listOfPages({ again = true } = {}) {
  const answer = await ownRequest(KEPT.device, { headers: { Accept: "application/json" } });
  if (answer.status === 401 || answer.status === 403) {
    // Who signs in meanwhile ends the session that this was asked in.
    if (again) return listOfPages({ again: false });
    await forget({ pages: true });
    return null;
  }
  if (!answer.ok) throw new Error(`No list of pages: ${answer.status}`);
  return answer.json();
}

/** @param {string[]} anew pages whose copy is old by now */
async function copyPages(anew = []) {
  const list = await listOfPages();
  if (!list) return;
  const own = PAGES + list.student;
  for (const name of await caches.keys()) {
    if (name.startsWith(PAGES) && name !== own) await caches.delete(name);
  }
  const cache = await caches.open(own);
  const wanted = [...list.often, ...list.fills];
  for (const { url } of await cache.keys()) {
    if (!wanted.includes(new URL(url).pathname)) await cache.delete(url);
  }
  await takeNote("student", list.student);
  /** @type {string[]} */
  const due = [];
  for (const path of wanted) {
    if (list.often.includes(path) || anew.includes(path) || (await isOld(cache, path))) due.push(path);
  }
  await inTurns(due, (path) => copyPage(cache, path));
  await takeNote("copied", Date.now());
  await copySounds(list.sounds);
}

/**
 * @param {Cache} cache
 * @param {string} path
 */
async function isOld(cache, path) {
  const copy = await cache.match(path, { ignoreVary: true });
  return !copy || Date.now() - Number(copy.headers.get("X-Copied")) > GOOD_FOR;
}

/**
 * @param {Cache} cache
 * @param {string} path
 */
async function copyPage(cache, path) {
  let answer = await asCopy(path);
  if (answer.status === 404) await cache.delete(path);
  if (!answer.ok || answer.redirected) return;
  let text = await answer.text();
  if (await haveDrawn(text)) {
    answer = await asCopy(path);
    if (!answer.ok || answer.redirected) return;
    text = await answer.text();
  }
  // Where an engraving is still on its way, the copy only serves until the next round.
  const isWhole = !text.includes('aria-busy="true"');
  const headers = {
    "Content-Type": answer.headers.get("Content-Type") ?? "text/html",
    "Content-Security-Policy": answer.headers.get("Content-Security-Policy") ?? "default-src 'self'",
    "X-Copied": String(isWhole ? Date.now() : 0),
  };
  await cache.put(path, new Response(text.replace("<html ", "<html data-copied "), { headers }));
}

/** @param {string} path */
const asCopy = (path) => ownRequest(path, { headers: { "X-Offline-Copy": "1" } });

/**
 * Ask for each engraving that a page waits for: without a worker, the server draws one for each
 * that is asked for. Where a worker has them, the first one says so.
 *
 * @param {string} text of the page
 * @returns {Promise<boolean>} whether any of them is there now
 */
async function haveDrawn(text) {
  let drawn = 0;
  for (const [, path] of text.matchAll(WAITED_FOR)) {
    const answer = await ownRequest(path.replaceAll("&amp;", "&"));
    await answer.text(); // one that is not read holds up the next
    if (answer.status !== 200) break;
    drawn += 1;
  }
  return drawn > 0;
}

/** @param {string} address of the list of sounds, if there is one */
async function copySounds(address) {
  if (!address) return;
  const answer = await ownRequest(address);
  if (!answer.ok) return;
  const cache = await caches.open(SOUNDS);
  await cache.put(address, answer.clone());
  const wanted = addressesIn(await answer.json());
  const there = new Set((await cache.keys()).map(({ url }) => new URL(url).pathname));
  await inTurns(wanted.filter((path) => !there.has(path)), async (path) => {
    const copied = await fetch(path);
    if (copied.ok) await cache.put(path, copied);
  });
  for (const path of there) {
    if (path !== address && !wanted.includes(path)) await cache.delete(path);
  }
}

/**
 * Every `url` in the list of sounds, however deep, and `others` beside it.
 *
 * @param {unknown} list
 * @returns {string[]}
 */
function addressesIn(list) {
  if (!list || typeof list !== "object") return [];
  const others = "others" in list && Array.isArray(list.others) ? list.others : [];
  const own = "url" in list && typeof list.url === "string" ? [list.url, ...others] : [];
  return [...own, ...Object.values(list).flatMap(addressesIn)];
}

/**
 * @param {string[]} items
 * @param {(item: string) => Promise<unknown>} act
 */
async function inTurns(items, act) {
  const queue = [...items];
  const turn = async () => {
    for (let item = queue.shift(); item !== undefined; item = queue.shift()) await act(item);
  };
  await Promise.all(Array.from({ length: AT_ONCE }, turn));
}

// One round of copying at a time; who asks meanwhile for what changed gets a round after it.
let round = Promise.resolve();

/** @param {Asked} asked */
function keep(asked) {
  round = round.then(() => keepNow(asked)).catch(() => {}); // no network: the next page asks again
  return round;
}

/** @param {Asked} asked */
async function keepNow({ keep: path, changed }) {
  const isRested = Date.now() - ((await note("copied")) ?? 0) > REST;
  const isStale = await note("stale");
  if (!changed && !isStale && !isRested) return;
  await takeNote("stale", false);
  await copyPages(changed || isStale ? [path, ...(isStale || [])] : []);
}

// The life of a version
worker.addEventListener("install", (event) => event.waitUntil(install()));

async function install() {
  const cache = await caches.open(FILES);
  await cache.addAll(KEPT.files.map((path) => new Request(path, { cache: "no-cache" })));
  await cache.add(new Request(KEPT.fallback, { credentials: "omit", cache: "no-cache" }));
  await copyPages();
  await worker.skipWaiting();
}

worker.addEventListener("activate", (event) => event.waitUntil(activate()));

async function activate() {
  /** @param {string} name */
  const isOurs = (name) => [FILES, SOUNDS, NOTES].includes(name) || name.startsWith(PAGES);
  for (const name of await caches.keys()) {
    if (name.startsWith("fillwright-") && !isOurs(name)) await caches.delete(name);
  }
  await worker.clients.claim();
}

worker.addEventListener("message", (event) => {
  if (event.data?.keep) event.waitUntil(keep(event.data));
});

// Answering
worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== location.origin) return;
  if (request.mode === "navigate") event.respondWith(page(request, url.pathname));
  if (request.mode === "navigate" || request.method !== "GET") return;
  if (HEARD.test(url.pathname)) event.respondWith(page(request, url.pathname));
  else if (files.has(url.pathname)) event.respondWith(file(request, url.pathname));
  else if (KEPT.sounds && url.pathname.startsWith(KEPT.sounds)) event.respondWith(sound(request, url.pathname));
});

/**
 * @param {Request} request
 * @param {string} path
 */
async function page(request, path) {
  if (request.method !== "GET") return posted(request, path);
  const copy = await copyOf(path);
  try {
    const answer = await inTime(fetch(request), copy ? PATIENCE : 0);
    if (path === KEPT.signIn && answer.ok) await forget({ pages: true }); // sent there: nobody is signed in
    return copy && answer.status >= 500 ? copy : answer;
  } catch {
    return copy ?? instead(path);
  }
}

/**
 * @param {Request} request
 * @param {string} path
 */
async function posted(request, path) {
  try {
    const answer = await fetch(request);
    if (doors.has(path) || path.startsWith(KEPT.signUp)) await forget({ pages: true });
    else if (isEntrance(path)) await forget({ pages: false });
    else await takeNote("stale", [...((await note("stale")) || []), pageOf(path)]);
    return answer;
  } catch {
    return fallback({ sent: false });
  }
}

/** The page of a fill that an address such as /fills/7/log/ is about. @param {string} path */
const pageOf = (path) => path.match(/^\/fills\/\d+\//)?.[0] ?? path;

/** @param {string} path */
async function copyOf(path) {
  const student = await note("student");
  if (student === null || !(await caches.has(PAGES + student))) return undefined;
  return (await caches.open(PAGES + student)).match(path, { ignoreVary: true });
}

/** @param {string} path */
async function instead(path) {
  const isStart = path === "/" || path === "/home/" || isEntrance(path);
  if (isStart && (await copyOf(KEPT.today))) return Response.redirect(KEPT.today);
  return fallback({ sent: true });
}

/** @param {{sent: boolean}} how whether nothing typed was lost */
async function fallback({ sent }) {
  const unsigned = async () => (await caches.open(FILES)).match(KEPT.fallback, { ignoreVary: true });
  const kept = (await copyOf(KEPT.fallback)) ?? (await unsigned());
  if (!kept) return Response.error();
  const text = await kept.text();
  const headers = { "Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": "default-src 'self'" };
  return new Response(sent ? text : text.replace("data-not-sent hidden", "data-not-sent"), { status: 503, headers });
}

/**
 * A file whose name changes with its content is taken from here; any other one is looked up.
 *
 * @param {Request} request
 * @param {string} path
 */
async function file(request, path) {
  const copy = () => caches.open(FILES).then((cache) => cache.match(path, { ignoreVary: true }));
  if (KEPT.hashed) return (await copy()) ?? fetch(request);
  return fetch(request).catch(async () => (await copy()) ?? Response.error());
}

/**
 * @param {Request} request
 * @param {string} path
 */
async function sound(request, path) {
  const cache = await caches.open(SOUNDS);
  const copy = await cache.match(path, { ignoreVary: true });
  if (path !== KEPT.sounds) return copy ?? fetch(request);
  return fetch(request).catch(() => copy ?? Response.error());
}

/**
 * @param {Promise<Response>} promise
 * @param {number} patience milliseconds; 0: without end
 * @returns {Promise<Response>}
 */
async function inTime(promise, patience) {
  if (!patience) return await promise;
  return await new Promise((resolve, reject) => {
    setTimeout(reject, patience, new Error("No answer in time."));
    promise.then(resolve, reject);
  });
}
