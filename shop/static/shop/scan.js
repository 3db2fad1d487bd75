// What a scanner types goes to the can, wherever the focus is. A scanner is a keyboard that is faster than any hand and
// ends with Enter. A number is read as inventory/core/numbers.py reads it; fixtures/scanned_numbers.csv runs against both.
"use strict";

{
const FAST = 45, PAUSE = 150; // ms for a key on the average of a scan; ms that are no part of any
const SHORTEST = 3; // characters of a scan
const KNOWN = document.currentScript.dataset.known; // where to ask for a number
const OURS = /^[A-Z]{1,6}-[A-Z0-9]{1,10}$/; // what a label of ours can say

function numberIn(text) {
  const typed = text.trim();
  const address = typed.match(/^https?:\/\/\S+\/containers\/([a-z0-9-]{1,24})\/?(?:[?#]\S*)?$/i);
  const code = (address ? address[1] : typed).toUpperCase();
  const digits = code.match(/^(?:K-?)?(\d{1,8})$/);
  return digits ? `K-${String(Number(digits[1])).padStart(4, "0")}` : code;
}

// --- Fields that ask for a can are told what was scanned, and say when there is no such can.
const asked = new WeakMap();
let last = 0; // when a key was pressed last

async function ask(field) {
  const typed = field.value.trim().split(/[\s,;]+/).pop();
  if (asked.get(field) === typed) return;
  asked.set(field, typed);
  const since = last;
  const found = typed && await fetch(`${KNOWN}?${new URLSearchParams({ number: typed.slice(0, 200) })}`, { credentials: "same-origin" }).catch(() => null);
  const answer = found?.ok && !found.redirected ? await found.json() : null; // no signal: the page is asked when it is sent
  if (asked.get(field) !== typed) return;
  say(field, answer && !answer.known ? answer.says : "");
  if (!answer) return;
  if (answer.known) {
    if (field.matches("input")) {
      field.value = answer.number;
      asked.set(field, answer.number);
    }
    return;
  }
  if (last !== since) return; // somebody types on
  field.focus();
  field.setSelectionRange(field.value.lastIndexOf(typed), field.value.length); // the next scan takes its place
}

function say(field, words) {
  const box = field.closest(".field");
  let said = box.querySelector(".strange");
  if (!said) {
    said = document.createElement("p");
    said.className = "error strange";
    said.setAttribute("role", "alert");
    field.closest(".given").after(said);
  }
  said.textContent = words ? `▲ ${words}` : "";
  box.classList.toggle("wrong", Boolean(words));
}

document.addEventListener("change", (event) => {
  if (event.target.matches("[data-scan]:not(#scan)")) ask(event.target);
});

// As if the scanner had typed into this field: also what the camera reads comes in here.
function take(field, code) {
  field.focus();
  if (field.matches("textarea")) field.value = `${field.value.trimEnd()}\n${code}\n`.trimStart();
  else field.value = code;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  field.dispatchEvent(new Event("change", { bubbles: true }));
  if (field.matches("input")) field.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter", bubbles: true, cancelable: true }));
}

// --- Keys that come too fast for a hand, up to their Enter.
let typed = "", began = 0, before = "";

document.addEventListener("keydown", (event) => {
  if (!event.isTrusted || event.key === "Shift") return;
  const paused = event.timeStamp - last > PAUSE;
  last = event.timeStamp;
  if (event.key.length === 1 && !event.ctrlKey && !event.metaKey) {
    if (paused || !typed) [typed, began, before] = ["", event.timeStamp, event.target.value ?? ""];
    typed += event.key;
    return;
  }
  const fast = !paused && event.timeStamp - began < FAST * typed.length;
  const scanned = event.key === "Enter" && fast && typed.length >= SHORTEST ? typed : "";
  typed = "";
  if (scanned && !arrived(scanned, event.target)) {
    event.preventDefault();
    event.stopImmediatePropagation();
  }
}, true);

// Returns whether the Enter goes on to the field that it was typed into.
function arrived(scanned, at) {
  const code = numberIn(scanned);
  if (at.matches("textarea")) {
    if (at.matches("[data-scan]")) setTimeout(ask, 0, at); // once its line is ended
    return true;
  }
  if (at.matches("input[data-scan]")) {
    const address = at.value.slice(Math.max(at.value.search(/https?:/i), 0)); // in case the keys came with a pause
    const ours = [scanned, address].map(numberIn).find((one) => OURS.test(one));
    if (ours) at.value = ours; // not what stood there before as well
    at.dispatchEvent(new Event("input", { bubbles: true }));
    at.dispatchEvent(new Event("change", { bubbles: true }));
    return true;
  }
  if (at.matches("select")) return choose(at, code);
  if (at.matches("input.reading, input[inputmode=decimal], input[inputmode=numeric]")) {
    const can = at.form?.querySelector("input[data-scan]") ?? document.querySelector("main input[data-scan]");
    if (!can || !OURS.test(code) || /^\d+$/.test(scanned)) return true; // a weight
    at.value = before;
    at.dispatchEvent(new Event("input", { bubbles: true }));
    take(can, code);
    return false;
  }
  if (at.matches("input:not([type=radio], [type=checkbox], [type=submit])")) return true;
  if (OURS.test(code)) goTo(code);
  return false; // nor does it press a button
}

function choose(list, code) {
  const option = [...list.options].find((one) => one.text.toUpperCase().split(/[\s,;:]/)[0] === code);
  list.value = option ? option.value : before;
  list.dispatchEvent(new Event("change", { bubbles: true }));
  return Boolean(option);
}

// The focus is on nothing that takes text: to its box to tick, to the field that asks for a can, or to its own page.
function goTo(code) {
  const box = [...document.querySelectorAll("main input[type=checkbox]")].find((one) => one.value === code);
  const field = document.querySelector("main [data-scan]");
  const find = document.getElementById("find");
  if (document.getElementById("scan")) take(document.getElementById("scan"), code);
  else if (box) {
    box.checked = true;
    box.dispatchEvent(new Event("change", { bubbles: true }));
    box.focus();
  } else if (field) take(field, code);
  else if (find && !document.querySelector("main form[method=post] :is(input:not([type=hidden]), textarea, select)")) {
    find.value = code;
    find.form.requestSubmit();
  }
}

window.tarebook = Object.assign(window.tarebook || {}, { numberIn, take, OURS });
}
