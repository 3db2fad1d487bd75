// Scan to find: a number goes to its row of the count. Without scripts the button beside it does the same.
"use strict";

const scan = document.getElementById("scan"), saidScan = document.getElementById("scan-said");

function goTo(code) {
  const form = scan.form;
  const tick = [...form.querySelectorAll("input[type=checkbox]")].find((one) => one.value === code);
  const named = form.elements[code], asked = form.elements[`moving_${code}`];
  if (tick) {
    tick.checked = true;
    const folded = tick.closest("details");
    if (folded) folded.open = true;
    const all = tick.closest("fieldset:has(details)") || form;
    const boxes = [...all.querySelectorAll("details input[type=checkbox]")];
    const number = boxes.filter((one) => one.checked).length;
    saidScan.textContent = boxes.includes(tick) ? `■ ${code}: ${number} / ${boxes.length}` : `■ ${code}`;
    scan.value = "";
    scan.focus();
    return true;
  }
  const field = named || (asked && (asked[0] || asked));
  if (!field) return false;
  scan.value = "";
  field.focus();
  field.scrollIntoView({ block: "center" });
  return true;
}

if (scan) {
  scan.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !scan.value.trim()) return;
    if (goTo(window.tarebook.numberIn(scan.value))) {
      event.preventDefault();
      event.stopImmediatePropagation();
    } else {
      event.preventDefault();
      event.stopImmediatePropagation();
      scan.form.querySelector("button[value=scan]").click(); // the server says why it is not here
    }
  });
}
