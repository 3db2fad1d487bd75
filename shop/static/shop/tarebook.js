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

// Enter in a field of a long form moves to the next field: scanners end with Enter, and nothing is sent by it.
document.addEventListener("keydown", (event) => {
  const field = event.target;
  if (event.key !== "Enter" || !field.matches("form[method=post] input:not([type=submit]):not([type=radio]):not([type=checkbox]):not([type=file])")) return;
  const fields = [...field.form.querySelectorAll("input:not([type=hidden]), select, textarea, button.main")];
  if (fields.filter((one) => one.type !== "submit").length < 3) return;
  event.preventDefault();
  const next = fields[fields.indexOf(field) + 1];
  if (next) next.focus();
});

// A form that comes back begins at what has to be looked at, not at the top of the page.
const said = document.querySelector("main :is(.errors, [role=alert])");
const wrong = said || document.querySelector("main .wrong :is(input:not([type=hidden]), select, textarea)");
if (said) said.tabIndex = -1;
if (wrong) wrong.focus();
