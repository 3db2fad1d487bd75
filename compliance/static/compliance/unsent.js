// No signal, as the page tells it: how much is not sent, what it is, and what the server said of it.
"use strict";
{
  const pile = globalThis.tarebookPile, box = document.getElementById("pile"), words = box?.dataset ?? {};
  const root = document.documentElement, copy = root.dataset.copy; // set by the worker: when the page was as it stands
  const AGAIN = 10_000, PATIENCE = 15_000, LONG = 2 * 3600_000, FRESH = 600_000; // ms
  const clock = (ms) => new Date(ms).toLocaleTimeString("en-GB", { timeZone: words.zone || undefined });
  const righting = document.querySelector("[name=said_at]"); // the page of a refused entry: nothing is sent past it
  let waiting = [], others = 0, trouble = "", unset = "", touched = false, sent = 0, arriving = true, stayed = false, warned = false;

  // --- Who is here. A page of somebody else, or of nobody, ends what an earlier person left.
  async function arrive() {
    if (!words.who) { others = await pile.leave(); return; }
    const known = await pile.here();
    stayed = known?.who !== words.who;
    if (copy) return showCopy();
    const [visit] = performance.getEntriesByType("navigation");
    const ahead = Math.round(performance.timeOrigin + visit.responseStart - Date.parse(words.now));
    await pile.arrive({ who: words.who, copies: words.copies, name: words.name, ahead });
    await pile.wipeCopies(words.copies);
    if (!navigator.serviceWorker) return;
    await navigator.serviceWorker.register(words.worker, { updateViaCache: "none" });
    const worker = (await navigator.serviceWorker.ready).active;
    if (known?.copies !== words.copies) worker.postMessage("words"); // in the language that is read now
    if (words.job) await keepCopies();
  }

  // --- The pages of the open job are kept before they are needed.
  async function keepCopies() {
    const kept = await pile.copies(words.copies);
    const pages = [location.pathname, words.waiting, words.job, ...words.stages.split(" ").map((one) => `${words.job}${one}/`)];
    const files = performance.getEntriesByType("resource").map((one) => one.name).filter((name) => name.startsWith(`${location.origin}/static/`));
    for (const address of pages) {
      const page = await keepCopy(kept, address, (answer) => answer.headers.get("Tarebook-Copy-For") === words.copies);
      for (const [, some] of (page ?? "").matchAll(/(?:<script src|data-scripts)="([^"]+)"/g)) files.push(...some.split(" "));
    }
    for (const file of new Set(files.map((one) => new URL(one, location.href).href))) await keepCopy(kept, file, () => true);
    box.dataset.kept = "yes";
  }

  async function keepCopy(kept, address, may) {
    const old = await kept.match(address);
    if (old && Date.now() - Date.parse(old.headers.get("Date")) < FRESH) return old.text();
    const answer = await fetch(address, { headers: { "For-Copy": "yes" } });
    if (!answer.ok || !may(answer)) return null;
    await kept.put(address, answer.clone());
    return answer.text();
  }

  function showCopy() {
    document.querySelector(".messages")?.remove();
    for (const one of document.querySelectorAll("input[name=once]")) one.value = crypto.randomUUID(); // the page is shown more than once
    for (const one of document.querySelectorAll("[data-needs-signal] button, [data-needs-signal] input, form:not(:has([name=waits])) button.main")) one.disabled = true;
    for (const one of document.querySelectorAll("[data-no-signal]")) one.hidden = !new RegExp(one.dataset.noSignal).test(location.pathname + location.search);
    trouble = words.noSignal.replace("%s", clock(Date.parse(copy)));
    return listJobs(document.querySelector("[data-kept-jobs]"));
  }

  // The open jobs whose pages are kept here, each with its car.
  async function listJobs(list) {
    if (!list) return;
    const kept = await pile.copies(words.copies);
    for (const one of await kept.keys()) {
      const { pathname } = new URL(one.url), number = pathname.match(/^\/bay\/([^/]+-[^/]+)\/$/)?.[1];
      if (!number) continue;
      const page = new DOMParser().parseFromString(await (await kept.match(one)).text(), "text/html");
      const item = document.createElement("li"), link = Object.assign(document.createElement("a"), { href: pathname, textContent: number });
      item.className = "row";
      item.append(link, Object.assign(document.createElement("span"), { textContent: page.querySelector("main .pairs dd")?.textContent ?? "" }));
      list.querySelector("ul").append(item);
      list.hidden = false;
    }
  }

  // The rules that stand in for the server's are fetched when there is need of them, from the copies if it must be.
  function askHere() {
    const scripts = document.getElementById("offline")?.dataset.scripts.split(" ") ?? [];
    for (const src of scripts) if (!document.querySelector(`script[src="${src}"]`)) document.head.append(Object.assign(document.createElement("script"), { src, async: false }));
  }

  // --- What the page says.
  function draw() {
    if (!box) return;
    const count = waiting.length, oldest = waiting[0]?.typedAt;
    box.hidden = !count && !others && !trouble && !sent;
    const said = [];
    if (count) said.push((count === 1 ? words.one : words.many).replace("%s", count));
    else if (sent) said.push(words.sent.replace("%s", sent));
    if (count && stayed) said.push(words.stayed);
    if (count > 1 && waiting[0].state === "refused") said.push(words.behind);
    said.push(...[trouble, unset].filter(Boolean));
    if (count && Date.now() - oldest > LONG) said.push(words.long.replace("%s", clock(oldest)));
    if (others) said.push(words.others.replace("%s", others)); // how many, and nothing of what they say
    const count_ = box.querySelector(".count");
    if (count_.textContent !== said.join(" ")) count_.textContent = said.join(" ");
    box.querySelector("ol").replaceChildren(...waiting.map(line));
    mark();
  }

  // A stage that waits here is not asked for again as if nothing had been typed.
  function mark() {
    for (const link of document.querySelectorAll("main a.main, main .sheet a")) {
      const typed = waiting.some((entry) => entry.path === link.pathname), note = link.querySelector(".unsent");
      if (typed && !note) link.append(Object.assign(document.createElement("span"), { className: "unsent", textContent: ` (${words.yet})` }));
      else if (!typed) note?.remove();
    }
  }

  function line(entry) {
    const item = document.createElement("li"), text = document.createElement("p"), when = document.createElement("strong");
    when.textContent = words.typed.replace("%s", clock(entry.typedAt));
    text.append(when, ` – ${entry.says}`);
    item.append(text);
    if (entry.state !== "refused") return item;
    for (const sentence of entry.said) {
      const refused = document.createElement("p");
      refused.className = "error";
      refused.textContent = sentence;
      item.append(refused);
    }
    const actions = document.createElement("p");
    actions.className = "actions";
    actions.append(button(words.right, () => putRight(entry)), button(words.aside, () => setAside(entry)));
    item.append(actions);
    return item;
  }

  function button(text, press) {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "quiet";
    made.textContent = text;
    made.addEventListener("click", press);
    return made;
  }

  async function look() {
    if (!words.who) return draw();
    const all = await pile.all();
    waiting = all.filter((entry) => entry.who === words.who);
    others = all.length - waiting.length;
    showClocks();
    if (copy || waiting.length) askHere();
    draw();
  }

  // A clock that was pressed without signal is not pressed twice, and the next one can be.
  function showClocks() {
    const pressed = new Set(waiting.filter((entry) => entry.path === location.pathname).map((entry) => Object.fromEntries(entry.fields).clock));
    for (const one of document.querySelectorAll(".timer [name=clock]")) {
      if (pressed.has(one.value)) one.hidden = true;
      else if (pressed.has(one.dataset.after)) one.hidden = false;
    }
  }

  // --- Sending: one after the other, each once, under who typed it; it stops at the first that is refused.
  const send = () => navigator.locks.request("tarebook pile", { ifAvailable: true }, (lock) => lock && sendAll());

  async function sendAll() {
    if (!(await pile.of(words.who)).length) return;
    const known = await signedOn();
    if (known) {
      while (await sendFirst(known)) sent += 1;
      await look();
      if (!touched && (copy || (sent && !waiting.length))) return location.replace(location.pathname);
    }
    await look();
  }

  async function signedOn() {
    const asked = Date.now(), answer = await get(words.token);
    if (!answer) return null;
    if (answer.redirected || !answer.ok) { trouble = words.signOn; return null; }
    const known = await answer.json();
    if (known.who !== words.who) { trouble = words.signOn; return null; }
    trouble = copy ? words.old.replace("%s", clock(Date.parse(copy))) : "";
    await pile.arrive({ who: words.who, copies: words.copies, name: words.name, ahead: Math.round((asked + Date.now()) / 2 - Date.parse(known.now)) });
    return known;
  }

  async function sendFirst(known) {
    const [entry] = await pile.of(words.who);
    if (!entry || (entry.state === "refused" && !(entry.righted && arriving))) return false; // put right: asked once a page
    const answer = await post(entry.path, [...entry.fields, ...times(entry)], known);
    if (!answer || answer.status >= 500 || answer.redirected) return false;
    if (answer.ok && answer.headers.get("Content-Type") === "application/json") {
      await pile.drop(entry.id);
      return true;
    }
    await pile.put({ ...entry, state: "refused", said: sentences(await answer.text()) });
    return false;
  }

  const times = (entry) => [["said_at", new Date(entry.typedAt).toISOString()], ["said_ahead", entry.ahead ?? ""], ["says", entry.says]];
  const get = (address) => fetch(address, { signal: AbortSignal.timeout(PATIENCE) }).catch(() => null);
  const post = (address, fields, known) => fetch(address, {
    method: "POST", body: new URLSearchParams(fields), signal: AbortSignal.timeout(PATIENCE),
    headers: { Accept: "application/json", "X-CSRFToken": known.token },
  }).catch(() => null);

  // The server's own sentences, each after the name of its field.
  function sentences(html) {
    const page = new DOMParser().parseFromString(html, "text/html");
    const found = new Map();
    for (const one of page.querySelectorAll("main :is(.error, .errors p, [role=alert] > p:not(.actions, .note))")) {
      const field = one.closest(".field")?.querySelector("label, legend")?.firstChild.textContent.trim();
      one.querySelector(".state")?.remove();
      const sentence = one.textContent.replace(/\s+/g, " ").trim();
      if (field || !found.has(sentence)) found.set(sentence, field ? `${field}: ${sentence}` : sentence);
    }
    return found.size ? [...found.values()] : [page.querySelector("h1")?.textContent.trim() || words.gone];
  }

  // --- A refused entry: look at it on its own page, or let it go, kept in the job's history.
  async function putRight(entry) {
    const known = await signedOn();
    if (!known) return draw();
    await pile.put({ ...entry, righted: true });
    const form = document.createElement("form");
    form.method = "post";
    form.action = entry.path;
    for (const [name, value] of [...entry.fields, ...times(entry), ["csrfmiddlewaretoken", known.token]]) {
      const field = document.createElement("input");
      Object.assign(field, { type: "hidden", name, value });
      form.append(field);
    }
    document.body.append(form);
    form.submit();
  }

  async function setAside(entry) {
    const known = await signedOn();
    if (!known) return draw();
    const fields = [["once", `aside ${entry.once}`.slice(0, 64)], ["path", entry.path], ["why", entry.said.join(" ").slice(0, 300)]];
    fields.push(["fields_typed", JSON.stringify(entry.fields)], ...times(entry));
    const answer = await post(`/bay/${entry.path.split("/")[2]}/aside/`, fields, known);
    const kept = answer?.headers.get("Content-Type") === "application/json";
    if (kept) await pile.drop(entry.id);
    unset = kept ? "" : answer ? sentences(await answer.text()).join(" ") : words.notAside;
    await look();
    await send();
  }

  // --- What a form says in words, as the pile shows it.
  function says(form, presser) {
    const parts = [];
    for (const field of form.elements) {
      if (!field.name || field.type === "hidden" || !field.value || !field.checkVisibility?.()) continue;
      if (["radio", "checkbox"].includes(field.type)) { if (field.checked) parts.push(field.closest("label").textContent.trim()); }
      else if (field.name.endsWith("_unit") && !form.elements[field.name.slice(0, -5)]?.value) continue; // a unit of nothing
      else if (field.tagName === "SELECT") parts.push(field.selectedOptions[0].textContent.trim());
      else if (field.tagName !== "BUTTON") parts.push(field.value.trim() + (field.name === "reading" ? ` ${form.querySelector("[data-unit]")?.dataset.unit ?? ""}` : ""));
    }
    if (presser?.name) parts.push(presser.textContent.trim());
    return `${document.querySelector("h1").textContent.trim()}: ${parts.join(", ")}`.slice(0, 300);
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    const unheard = !warned && !form.dataset.lock && (copy || !navigator.onLine); // a shared station locks at one press
    const why = form.matches("form.who") && box && (waiting.length ? words.stay : unheard ? words.goes : "");
    if (why) {
      event.preventDefault();
      event.stopImmediatePropagation();
      trouble = why;
      warned = !waiting.length; // the second press signs off
      draw();
      box.tabIndex = -1;
      box.focus();
      // A house without any network may have its server on this very computer: then one press is enough.
      if (warned) Promise.race([get(words.token), new Promise((late) => { setTimeout(late, 2000); })]).then((answer) => answer?.ok && form.requestSubmit());
      return;
    }
    touched = true; // no fresh page comes between
    if (!form.elements.waits) return;
    form.querySelector("[name=says]")?.remove();
    const said = document.createElement("input");
    Object.assign(said, { type: "hidden", name: "says", value: says(form, event.submitter) });
    form.append(said);
  }, true);
  document.addEventListener("input", () => { touched = true; });

  // --- At every page, when the signal comes back, and every few seconds while something waits.
  async function round() {
    await look();
    if (righting) return;
    if (waiting.length) await send();
    else if (copy && !touched && (await signedOn()) && !touched) location.replace(location.pathname);
    arriving = false;
  }
  if (globalThis.isSecureContext && globalThis.indexedDB) {
    arrive().catch(() => { /* no signal for the copies, or no room for them */ }).then(round);
    addEventListener("online", round);
    addEventListener("offline", askHere);
    document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") round(); });
    setInterval(round, AGAIN);
  }
}
