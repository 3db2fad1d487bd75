// A shared station locks by itself. Other scripts keep what was typed when they hear "tarebook:lock": they put their
// promises into event.detail.waits, and the lock waits for them, two seconds at most.
"use strict";

const form = document.querySelector("form.who");
const loaded = Date.now();
let locking = false;

// When any page of this browser was loaded last; a second tab must not lock the first one under somebody's hands.
function lastPage() {
  try {
    return Math.max(loaded, Math.min(Number(localStorage.getItem("tarebook:seen")), Date.now()));
  } catch {
    return loaded;
  }
}

async function lock() {
  if (locking) return;
  locking = true;
  const waits = [];
  document.dispatchEvent(new CustomEvent("tarebook:lock", { detail: { waits } }));
  const kept = Promise.all(waits).then(() => waits.length > 0, () => false);
  const late = new Promise((done) => { setTimeout(() => done(false), 2000); });
  form.elements.kept.value = (await Promise.race([kept, late])) ? "yes" : "";
  form.submit();
}

// By the clock on the wall, so that a computer that slept locks as it wakes.
function check() {
  if (Date.now() - lastPage() >= Number(form.dataset.lock) * 1000) lock();
}

try { localStorage.setItem("tarebook:seen", String(loaded)); } catch { /* this page's own time will do */ }
form.addEventListener("submit", (event) => {
  event.preventDefault();
  lock();
});
document.addEventListener("visibilitychange", check);
window.addEventListener("pageshow", (event) => { if (event.persisted) check(); });
setInterval(check, 1000);
