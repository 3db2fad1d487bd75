// Keeps the pages of open jobs on the device of who is signed on, and puts into the pile what cannot be sent.
"use strict";

importScripts("/static/compliance/pile.js");

const pile = globalThis.tarebookPile;
const COPY_FOR = "Tarebook-Copy-For", WAITING = "/bay/waiting/";
const PAGE_PATIENCE = 4000, SEND_PATIENCE = 12000; // ms without an answer that are no signal
const NO_ANSWER = new Set([502, 503, 504]); // somebody on the way says that the server is not there

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const { request } = event, { origin, pathname } = new URL(request.url);
  if (origin !== self.location.origin) return;
  if (request.mode !== "navigate") {
    if (request.method === "GET" && pathname.startsWith("/static/")) event.respondWith(file(request));
  } else if (request.method === "POST") {
    if (pathname === "/sign-off/" || pathname === "/lock/") event.waitUntil(pile.leave());
    else if (pathname.startsWith("/bay/")) event.respondWith(send(request));
  } else if (pathname.startsWith("/sign-on/")) {
    event.respondWith(door(event));
  } else if (pathname.startsWith("/bay/")) {
    event.respondWith(page(event));
  }
});

// Whoever is asked to sign on is no longer signed on.
async function door(event) {
  const answer = await fetch(event.request);
  event.waitUntil(pile.wipeCopies());
  return answer;
}

// The network first. Its copy is for who is signed on, and only where the server says so: a page of an open job.
async function page(event) {
  const { request } = event, address = new URL(request.url).pathname;
  try {
    const answer = await answered(request);
    event.waitUntil(keep(address, answer.clone()));
    return answer;
  } catch {
    const { who } = (await pile.here()) || {};
    const kept = who ? await pile.copies(who) : null;
    const copy = kept && ((await kept.match(address)) || (await kept.match(WAITING)));
    return copy ? marked(copy) : fetch(request);
  }
}

async function keep(address, answer) {
  const who = answer.headers.get(COPY_FOR);
  if (who) {
    await pile.wipeCopies(who);
    await (await pile.copies(who)).put(address, answer);
  } else if (answer.status === 404 || (answer.ok && address.split("/").length === 4)) {
    await forget(address.split("/")[2]); // closed or gone
  }
}

// The copies of a job go as soon as it may be closed.
async function forget(number) {
  const { who } = (await pile.here()) || {};
  if (!who || !number) return;
  const kept = await pile.copies(who);
  for (const one of await kept.keys()) if (new URL(one.url).pathname.startsWith(`/bay/${number}/`)) await kept.delete(one);
}

// The page itself says from when it is.
async function marked(copy) {
  const text = await copy.text(), headers = new Headers(copy.headers);
  const date = headers.get("Date") || "";
  return new Response(text.replace("<html ", `<html data-copy="${date}" `), { headers });
}

async function file(request) {
  const { who } = (await pile.here().catch(() => null)) || {};
  const kept = who && (await pile.copies(who));
  try {
    const answer = await answered(request);
    if (kept && answer.ok) kept.put(request.url, answer.clone());
    return answer;
  } catch {
    return (kept && (await kept.match(request.url))) || fetch(request);
  }
}

// A form goes to the server. Where that does not answer, or entries wait before it, it goes to the end of the pile.
async function send(request) {
  const back = new URL(request.url).pathname, typedAt = Date.now(); // not when the patience was over
  const plain = (request.headers.get("Content-Type") || "").startsWith("application/x-www-form-urlencoded");
  const fields = plain ? [...(await request.clone().formData()).entries()] : [];
  const typed = Object.fromEntries(fields), who = typed.waits;
  const before = who ? await pile.of(who) : [];
  const again = before.find((entry) => entry.once === typed.once);
  if (!before.length || again || !who) {
    try {
      const answer = await (who ? within(SEND_PATIENCE, fetch(request)) : fetch(request)); // what cannot wait is waited for
      if (!NO_ANSWER.has(answer.status)) {
        if (/\/(close|not-charged)\/$/.test(back)) await forget(back.split("/")[2]);
        return answer;
      }
    } catch { /* no signal */ }
  }
  if (!who) return Response.redirect(`${WAITING}?not-kept=${encodeURIComponent(back)}`, 303);
  const { ahead } = (await pile.here()) || {};
  const entry = { who, path: back, once: typed.once, says: typed.says || back, typedAt, ahead: ahead ?? null, state: "waiting", said: [] };
  entry.fields = fields.filter(([name]) => !["csrfmiddlewaretoken", "says", "said_at", "said_ahead"].includes(name));
  await pile.put(again ? { ...entry, id: again.id, typedAt: again.typedAt, ahead: again.ahead } : entry);
  return Response.redirect(after(back, typed), 303);
}

// Where the work goes on: the charge page for its readings, the same page for a clock, else the job.
function after(path, typed) {
  const [, bay, number, kind] = path.split("/");
  return kind === "charge" || typed.clock ? `/${bay}/${number}/${kind}/` : `/${bay}/${number}/`;
}

async function answered(request) {
  const answer = await within(PAGE_PATIENCE, fetch(request));
  if (NO_ANSWER.has(answer.status)) throw new Error("no answer");
  return answer;
}

function within(patience, answer) {
  return Promise.race([answer, new Promise((_, late) => { setTimeout(() => late(new Error("no answer")), patience); })]);
}
