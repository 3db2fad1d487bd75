// Small comforts; every page works without them.
"use strict";

// A double tap or a scanner's extra Enter sends a form once.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post" || event.defaultPrevented) return;
  if (form.dataset.sent) {
    event.preventDefault();
    return;
  }
  form.dataset.sent = "yes";
  setTimeout(() => { delete form.dataset.sent; }, 4000);
});

// Enter in a field of a long form moves to the next field: scanners end with Enter, and nothing is sent by it. Nor by
// the Enter after it, with which some end as well, when the next field is a button.
const EXTRA = 150; // ms
let movedOn = -EXTRA;

document.addEventListener("keydown", (event) => {
  const field = event.target;
  if (event.key !== "Enter") return;
  if (event.isTrusted && event.timeStamp - movedOn < EXTRA) { event.preventDefault(); return; }
  if (!field.matches("form[method=post] :is(input:not([type=submit], [type=file]), select)")) return;
  const fields = [...field.form.querySelectorAll("input:not([type=hidden]), select, textarea, button.main")]
    .filter((one) => one === field || ((one.type !== "radio" || one.name !== field.name) && (one.checkVisibility?.() ?? true)));
  if (!field.matches("[data-scan]") && fields.filter((one) => one.type !== "submit").length < 3) return;
  event.preventDefault();
  movedOn = event.timeStamp;
  fields[fields.indexOf(field) + 1]?.focus();
});

// A form that comes back begins at what has to be looked at, not at the top of the page; at a can's number the next
// scan takes its place.
const said = document.querySelector("main :is(.errors, [role=alert])");
const wrong = said || document.querySelector("main .wrong :is(input:not([type=hidden]), select, textarea)");
if (said) said.tabIndex = -1;
if (wrong) wrong.focus();
if (wrong?.matches("input[data-scan]")) wrong.select();
