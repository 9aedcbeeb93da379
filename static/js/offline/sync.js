// Send what waits to the server, exactly once.
//
// Exactly once comes of three things: the id is made before the first try, and the server logs
// an id once; what is sent is kept word for word before it is sent, so that a second try is the
// same; an entry leaves this device only after the server has said that it has it.
import { dayIn, whenMade } from "./clock.js";
import * as store from "./store.js";

const LOCK = "fillwright-entries";
const PATIENCE = 20_000; // milliseconds until an answer is given up
const TROUBLES_IN_A_ROW = 3;

// Resolve with { state, logged }: `state` is "sent", "network", "trouble", "signed-out" or
// "another"; `logged` are the ids that the server has now. One page of the device at a time.
export function sync(device) {
  return navigator.locks.request(LOCK, () => sendAll(device));
}

async function sendAll(device) {
  const logged = [];
  const waiting = (await store.all()).filter((entry) => !entry.refused);
  if (!waiting.length) return { state: "sent", logged };
  const greeting = await greet(device);
  if (greeting.state) return { state: greeting.state, logged };
  const own = waiting.filter((entry) => entry.student === greeting.student);
  let state = own.length < waiting.length ? "another" : "sent";
  let troubles = 0;
  for (const entry of own) {
    const outcome = await send(device, greeting, entry);
    if (outcome === "logged") logged.push(entry.id);
    if (["network", "signed-out", "another"].includes(outcome)) return { state: outcome, logged };
    troubles = outcome === "trouble" ? troubles + 1 : 0;
    if (outcome === "trouble") state = "trouble";
    if (troubles === TROUBLES_IN_A_ROW) break;
  }
  return { state, logged };
}

// Ask who is signed in and what time it is.
export async function greet(device) {
  const answer = await ask(device.dataset.device);
  if (!answer) return { state: "network" };
  if (answer.status === 401 || answer.status === 403) return { state: "signed-out" };
  const told = answer.ok && (await read(answer));
  if (!told) return { state: "trouble" };
  await store.keepFact("seen", told.now);
  await store.keepFact("ahead", Date.now() - told.now);
  return { student: told.student, now: told.now, here: Date.now(), day: told.day };
}

async function send(device, greeting, entry) {
  const body = entry.sent ?? (await freeze(device, greeting, entry));
  const answer = await ask(device.dataset.entries, {
    method: "POST",
    headers: { "Content-Type": "application/json", "X-CSRFToken": csrfToken() },
    body,
  });
  if (!answer) return "network";
  const told = await read(answer);
  // Only an answer of the log itself counts; what stands between us and it may say anything.
  if (!told) return answer.status === 401 ? "signed-out" : "trouble";
  return settle(entry, body, answer.status, told);
}

async function settle(entry, body, status, told) {
  const isIt = (one) => one?.id === entry.id;
  if ((status === 200 || status === 201) && isIt(told)) return leave(entry);
  if (status === 409 && isIt(told.entry)) return leave(entry); // logged before, and changed since
  if (status === 409 && told.id) {
    await store.replace(entry.id, { ...entry, id: newId(), sent: null });
    return "trouble";
  }
  if (status === 401) return "signed-out";
  if (status === 400 && told.student) return "another";
  if (status !== 400) return "trouble";
  await store.keep({ ...entry, sent: body, refused: told });
  return "refused";
}

async function leave(entry) {
  await store.drop(entry.id);
  return "logged";
}

// Settle what is sent for this entry from now on, and keep that before it goes out.
async function freeze(device, greeting, entry) {
  const made = whenMade(entry, greeting.here, greeting.now);
  const day = dayIn(device.dataset.zone, made);
  const body = JSON.stringify({
    day,
    ...entry.fields,
    id: entry.id,
    student: entry.student,
  });
  await store.keep({ ...entry, sent: body });
  return body;
}

// The response, or null where there was none in time.
async function ask(address, options = {}) {
  if (!navigator.onLine) return null;
  try {
    return await fetch(address, {
      cache: "no-store",
      credentials: "same-origin",
      redirect: "error",
      signal: AbortSignal.timeout(PATIENCE),
      ...options,
      headers: { Accept: "application/json", ...options.headers },
    });
  } catch {
    return null;
  }
}

async function read(answer) {
  try {
    const told = await answer.json();
    return told && typeof told === "object" ? told : null;
  } catch {
    return null;
  }
}

export const newId = () => crypto.randomUUID();

export function csrfToken() {
  return document.cookie.match(/(?:^|; )csrftoken=([^;]*)/)?.[1] ?? "";
}
