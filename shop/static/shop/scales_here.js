// Which port of this device is which scale, and how its line is set; scale.js reads by it.
"use strict";

{
const STORE = "tarebook:scales";

function kept() {
  try { return JSON.parse(localStorage.getItem(STORE)) || {}; } catch { return {}; }
}

function keep(code, change) {
  const all = kept();
  all[code] = { ...all[code], ...change };
  localStorage.setItem(STORE, JSON.stringify(all));
}

const rows = document.querySelector(".ports");
if (navigator.serial) {
  rows.hidden = false;
  document.querySelector(".no-ports").hidden = true;
  for (const list of rows.querySelectorAll("select")) {
    const { scale } = list.dataset, row = list.closest("li"), said = row.querySelector(".port"), forget = row.querySelector("button");
    const show = () => {
      const known = Boolean(kept()[scale]?.port);
      said.textContent = known ? said.dataset.known : said.dataset.strange;
      forget.hidden = !known;
    };
    list.value = kept()[scale]?.line || list.options[0].value;
    list.addEventListener("change", () => keep(scale, { line: list.value }));
    forget.addEventListener("click", () => { keep(scale, { port: undefined }); show(); list.focus(); });
    show();
  }
}
}
