// The bay's comforts: number keys, answers while typing, drafts, clocks. Every page works without them.
"use strict";

const PAUSE = 300, DRAFT_PAUSE = 1200, SCAN_PAUSE = 150; // ms

// --- Number keys beside a weight: big enough for gloves; a real keyboard still works.
for (const pad of document.querySelectorAll(".pad")) {
  const fields = [...pad.closest("form").querySelectorAll("input.reading")];
  if (!fields.length) continue;
  let field = fields.find((one) => !one.value) || fields[0];
  pad.hidden = false;
  for (const one of fields) {
    if (matchMedia("(pointer: coarse)").matches) one.inputMode = "none"; // no second keyboard over the page
    one.addEventListener("focus", () => { field = one; mark(); });
  }
  const mark = () => { for (const one of fields) one.classList.toggle("keyed", one === field && fields.length > 1); };
  mark();
  // Where no keyboard comes up over the page, the number is ready to be typed at once.
  if (field.inputMode === "none" && document.activeElement === document.body) field.focus({ preventScroll: true });
  pad.addEventListener("click", (event) => {
    const key = event.target.closest("[data-key]")?.dataset.key;
    if (!key) return;
    field.value = key === "del" ? field.value.slice(0, -1) : (field.value + key).slice(0, field.maxLength);
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
}

// --- The charge page answers while the number is typed.
for (const form of document.querySelectorAll("form[data-look]")) {
  const answer = document.getElementById(form.dataset.answer), main = form.querySelector("button.main");
  const says = main.dataset.says, plain = main.textContent;
  const doing = form.querySelector(".doing");
  let wait = 0, asked = 0;

  form.addEventListener("change", () => {
    const chosen = form.querySelector("[name=what]:checked");
    if (doing && chosen) doing.textContent = chosen.closest("label").textContent.trim();
  });
  async function ask() {
    const typed = new FormData(form), turn = ++asked;
    const reading = String(typed.get("reading") || "").trim();
    main.textContent = reading ? says.replace("%s", `${reading} ${form.elements.scale?.selectedOptions[0]?.dataset.unit || main.dataset.unit}`) : plain;
    if (!reading && !typed.get("from_label")) { answer.replaceChildren(); return; }
    for (const name of ["csrfmiddlewaretoken", "once", "seen", "light", "meant", "waits", "looked", "says", "said_at", "said_ahead"]) typed.delete(name);
    const found = await fetch(`${form.dataset.look}?${new URLSearchParams(typed)}`, { credentials: "same-origin" }).catch(() => null);
    if (!found || !found.ok || found.redirected || turn !== asked) return; // no signal: keeping it asks the same questions
    answer.innerHTML = await found.text();
    answer.classList.toggle("asks", Boolean(answer.querySelector(".stop, .look")));
  }
  form.addEventListener("input", () => { clearTimeout(wait); wait = setTimeout(ask, PAUSE); });
  form.addEventListener("change", () => { clearTimeout(wait); wait = setTimeout(ask, 0); });

  // A can's number scanned into the weight is the can.
  const reading = form.elements.reading, can = form.elements.container;
  let scan = 0;
  reading.addEventListener("input", () => {
    clearTimeout(scan);
    scan = setTimeout(() => {
      if (!/^k-?\d{3,}$/i.test(reading.value.trim())) return;
      can.value = reading.value.trim().toUpperCase();
      reading.value = "";
    }, SCAN_PAUSE);
  });
  if (reading.value) ask();
}

// --- What is typed is kept while it is typed, and before the station locks.
for (const form of document.querySelectorAll("form[data-draft]")) {
  const said = form.querySelector(".draft-kept");
  let wait = 0, changed = false;

  async function keep() {
    if (!changed) return;
    changed = false;
    const sent = await fetch(form.dataset.draft, { method: "POST", body: new FormData(form), keepalive: true, credentials: "same-origin" }).catch(() => null);
    if (sent?.ok && !sent.redirected && said) said.textContent = `✎ ${(await sent.json()).kept}`;
    else changed = true;
  }
  form.addEventListener("input", () => { changed = true; clearTimeout(wait); wait = setTimeout(keep, DRAFT_PAUSE); });
  form.addEventListener("submit", () => { changed = false; clearTimeout(wait); });
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") keep(); });
  document.addEventListener("tarebook:lock", (event) => event.detail?.waits?.push(keep()));
}

// --- Clocks: instants, not ticks, so that sleep, reload and midnight change nothing. One quiet buzz at the end.
const clocks = [...document.querySelectorAll(".timer[data-since]")].map((box) => ({
  box, shown: box.querySelector(".ticking"), due: Date.parse(box.dataset.due), ahead: Date.parse(box.dataset.now) - Date.now(),
}));
function tick() {
  for (const { box, shown, due, ahead } of clocks) {
    if (!due) continue;
    const left = Math.ceil((due - Date.now() - ahead) / 1000), far = Math.abs(left);
    const clock = `${Math.floor(far / 60)}:${String(far % 60).padStart(2, "0")}`;
    shown.textContent = left > 0 ? `${clock} ${box.dataset.left}` : `${box.dataset.over} (+${clock})`;
    box.classList.toggle("up", left <= 0);
    const mark = `rang ${box.dataset.due}`;
    if (left <= 0 && !localStorage.getItem(mark)) { localStorage.setItem(mark, "1"); if (left > -60) ring(); }
  }
}
function ring() {
  navigator.vibrate?.(400);
  if (!navigator.userActivation?.hasBeenActive) return; // a page that nobody has touched yet may not sound
  try {
    const sound = new AudioContext(), tone = sound.createOscillator(), level = sound.createGain();
    level.gain.value = 0.05;
    tone.connect(level).connect(sound.destination);
    tone.start();
    tone.stop(sound.currentTime + 0.4);
  } catch { /* no sound here */ }
}
if (clocks.length) { tick(); setInterval(tick, 1000); document.addEventListener("visibilitychange", tick); }
