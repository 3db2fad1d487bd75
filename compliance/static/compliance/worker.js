// Keeps the pages of open jobs on the device of who is signed on, and puts into the pile what cannot be sent.
"use strict";

const pile = globalThis.tarebookPile;
const COPY_FOR = "Tarebook-Copy-For", WAITING = "/bay/waiting/";
const WORDS = "tarebook words", PLAIN = "/no-signal/", LEAVING = "tarebook leaving";
const PAGE_PATIENCE = 4000, SEND_PATIENCE = 12000; // ms without an answer that are no signal
const NO_ANSWER = new Set([502, 503, 504]); // somebody on the way says that the server is not there

self.addEventListener("install", (event) => event.waitUntil(keepWords().catch(() => {}).then(() => self.skipWaiting())));
self.addEventListener("message", (event) => event.waitUntil(keepWords().catch(() => {})));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const { request } = event, { origin, pathname } = new URL(request.url);
  if (origin !== self.location.origin) return;
  if (request.mode !== "navigate") {
    if (request.method === "GET" && pathname.startsWith("/static/")) event.respondWith(file(request));
  } else {
    event.respondWith(navigated(event, request, pathname));
  }
});

async function navigated(event, request, pathname) {
  if (request.method === "POST" && (pathname === "/sign-off/" || pathname === "/lock/")) return leave(request, pathname);
  if (await stillLeaving()) return plain("leaving");
  if (request.method === "POST") return pathname.startsWith("/bay/") ? send(request) : patiently(request).catch(() => plain("form"));
  if (pathname.startsWith("/sign-on/")) return door(event);
  return page(event, pathname.startsWith("/bay/") ? answered : patiently);
}

// A sign-off takes the copies away at once. Where the server does not hear of it, it waits, and goes before anything else.
async function leave(request, path) {
  const form = await request.clone().text();
  const asking = answered(request);
  try {
    await Promise.allSettled([asking, pile.leave()]);
    return await asking;
  } catch {
    await (await caches.open(LEAVING)).put(path, new Response(form));
    return plain("leaving");
  }
}

async function stillLeaving() {
  if (!(await caches.has(LEAVING))) return false;
  const waiting = await caches.open(LEAVING), [asked] = await waiting.keys();
  try {
    const body = asked && (await (await waiting.match(asked)).text());
    if (asked) await answered(new Request(asked.url, { method: "POST", body, headers: { "Content-Type": "application/x-www-form-urlencoded" } }));
  } catch {
    return true;
  }
  await pile.leave();
  await caches.delete(LEAVING);
  return false;
}

// Words for when there is no page to show; they name nobody.
async function keepWords() {
  const answer = await fetch(PLAIN, { cache: "no-store" }), kept = await caches.open(WORDS), text = await answer.clone().text();
  if (!answer.ok) return;
  await kept.put(PLAIN, answer);
  for (const [, file] of text.matchAll(/href="(\/static\/[^"]+)"/g)) await kept.add(file);
}

async function plain(why) {
  const words = await caches.match(PLAIN);
  if (!words) return Response.error();
  return new Response((await words.text()).replace(`data-why="${why}" hidden`, `data-why="${why}"`), { headers: words.headers });
}

// Whoever is asked to sign on is no longer signed on.
async function door(event) {
  const answer = await patiently(event.request).catch(() => plain("page"));
  event.waitUntil(pile.wipeCopies());
  return answer;
}

// The network first. Its copy is for who is signed on, and only where the server says so: a page of an open job.
async function page(event, asking) {
  const { request } = event, address = new URL(request.url).pathname;
  try {
    const answer = await asking(request);
    if (asking === answered) event.waitUntil(keep(address, answer.clone()));
    return answer;
  } catch {
    const kept = await here();
    const copy = kept && ((await kept.match(address)) || (await kept.match(WAITING)));
    return copy ? marked(copy) : plain("page");
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
  const kept = await here();
  if (!kept || !number) return;
  for (const one of await kept.keys()) if (new URL(one.url).pathname.startsWith(`/bay/${number}/`)) await kept.delete(one);
}

// The page itself says from when it is.
async function marked(copy) {
  const text = await copy.text(), headers = new Headers(copy.headers);
  const date = headers.get("Date") || "";
  return new Response(text.replace("<html ", `<html data-copy="${date}" `), { headers });
}

async function file(request) {
  const kept = await here();
  try {
    const answer = await answered(request);
    if (kept && answer.ok) kept.put(request.url, answer.clone());
    return answer;
  } catch {
    return (await caches.match(request.url)) || fetch(request);
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

// The copies of who was seen signed on last, if there are any; what was taken away is not begun again.
async function here() {
  const { copies } = (await pile.here().catch(() => null)) || {};
  return copies && (await caches.has(pile.COPIES + copies)) ? pile.copies(copies) : null;
}

// A page may take its time while the server answers anything at all.
async function patiently(request) {
  let came = false;
  const answer = fetch(request).finally(() => { came = true; });
  const silence = new Promise((late) => { setTimeout(late, PAGE_PATIENCE); })
    .then(() => came || within(PAGE_PATIENCE, fetch("/bay-worker.js", { method: "HEAD", cache: "no-store" }))).then(() => answer);
  const first = await Promise.race([answer, silence]);
  if (NO_ANSWER.has(first.status)) throw new Error("no answer");
  return first;
}

async function answered(request) {
  const answer = await within(PAGE_PATIENCE, fetch(request));
  if (NO_ANSWER.has(answer.status)) throw new Error("no answer");
  return answer;
}

function within(patience, answer) {
  return Promise.race([answer, new Promise((_, late) => { setTimeout(() => late(new Error("no answer")), patience); })]);
}
