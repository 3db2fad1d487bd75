// Without signal the page asks an entry what the server would ask (rules.js), and reckons what waits into its sums.
"use strict";
{
  const rules = globalThis.tarebookRules, pile = globalThis.tarebookPile, drawn = document.getElementById("pile").dataset;
  const form = document.querySelector("form#weigh, form#stage"), copy = document.documentElement.dataset.copy;
  const knew = JSON.parse(document.getElementById("entry-rules")?.textContent ?? "null")?.context;
  const words = document.getElementById("offline")?.content, path = form && new URL(form.action, location.href).pathname;
  const ticket = document.querySelector(".ticket.charge"), answer = document.getElementById("answer"), PAUSE = 300; // ms
  const asked = new URLSearchParams(location.search).get("can"); // a copy is of the page without it
  let waiting = [], context = knew, ahead = 0, wait = 0;

  const again = form?.elements.said_at; // a refused entry on its way again goes before all that waits: the server judges it
  const away = () => knew && !again && (copy || !navigator.onLine || waiting.length > 0);
  // An instant of this device on the shop's clock: what the page was drawn at tells how far apart the two are.
  const onShopClock = (ms) => ms - ahead + knew.now - Date.parse(drawn.now);
  const shopTime = (ms) => new Date(ms).toLocaleString("sv-SE", { timeZone: drawn.zone || undefined }).slice(0, 16).replace(" ", "T");
  const word = (name) => words.querySelector(`[data-for=${name}]`).cloneNode(true);
  const told = (name, ...text) => { const line = word(name); (line.querySelector("[data-text]") ?? line).append(...text); return line; };
  function sized(mass) {
    const [, number, name] = mass.match(/^(.*) (\S+)$/), unit = Object.assign(document.createElement("span"), { className: "unit", textContent: name });
    return [`${number} `, unit];
  }

  // --- From a form's fields to what the rules read.
  function asTicket(fields, typedAt) {
    const at = onShopClock(typedAt), said = fields.read_at_instant || fields.read_at;
    return { container: fields.container ?? "", reading: fields.reading ?? "", what: fields.what, scale: fields.scale, style: fields.style,
      from_label: Boolean(fields.from_label), said_at: said ? Date.parse(said) : null, at, clock: shopTime(at).slice(11) };
  }
  function asStage(fields) {
    const read = {};
    for (const [name, text] of Object.entries(fields)) {
      if (/_(unit|instant)$/.test(name)) continue;
      const typed = text.trim(), unit = fields[`${name}_unit`];
      if (name.endsWith("_at")) read[name] = typed ? Date.parse(fields[`${name}_instant`] || typed) : null;
      else if (name.endsWith("minutes")) read[name] = /^\d+$/.test(typed) ? Number(typed) : null;
      else read[name] = typed && unit && !/[^\d\s.,+−-]/.test(typed) ? `${typed} ${unit}` : typed;
    }
    return read;
  }
  function found() {
    const fields = Object.fromEntries(new FormData(form)), now = { ...context, now: onShopClock(Date.now()) };
    if (form.id === "weigh") return rules.look("ticket", asTicket(fields, Date.now()), now);
    return rules.look(path.split("/")[3], asStage(fields), now);
  }

  // --- What waits is reckoned in.
  async function reckon() {
    if (!knew || again || !drawn.who) return;
    ahead = (await pile.here())?.ahead ?? 0;
    waiting = (await pile.of(drawn.who)).filter((entry) => entry.path === path && entry.state === "waiting");
    if (form.id === "stage") return waiting.forEach(fillIn);
    if (!waiting.length) return;
    const entries = waiting.map((entry) => asTicket(Object.fromEntries(entry.fields), entry.typedAt));
    context = rules.after(knew, entries);
    const sum = rules.charge(knew, entries);
    for (const old of ticket.querySelectorAll(".can, .big, .band")) old.remove();
    if (sum.stop) ticket.prepend(told("stop", ...sized(sum.stop)));
    if (sum.hanging) ticket.prepend(told("hanging", sum.hanging));
    for (const [name, ug] of [["in-car", sum.inCar], ["to-go", sum.toGo]]) {
      const figure = ticket.querySelector(`[data-sum=${name}]`);
      if (!figure || ug === null) continue;
      figure.querySelector(".number").replaceChildren(...sized(rules.mass(BigInt(ug), "g")));
      figure.querySelector(".also").textContent = rules.mass(BigInt(ug), "oz");
    }
    const next = globalThis.tarebookNextCans(context, sum.wanted);
    offer(next.takes, sum.hanging);
    if (!form.elements.reading.value) begin(sum, next.first);
  }
  // The cans to take next, as the page lists them: a row it came with, or one for a can that was opened since.
  function offer(takes, hanging) {
    const list = document.getElementById("next-cans");
    list.hidden = !takes.length;
    list.querySelector("h2").textContent = hanging ? list.dataset.then : list.dataset.next;
    list.querySelector("ul").replaceChildren(...takes.map(rowOf));
  }
  function rowOf({ code, weighs, take, empties }) {
    const { last } = context.cans[code], row = rowAsItCame(code, last) ?? told("opened", last.text, last.unit === "lb+oz" ? "" : ` ${last.unit}`);
    const link = row.querySelector("a"), grams = (ug) => rules.mass(BigInt(ug), "g");
    link.textContent = code;
    link.search = `?can=${code}`;
    row.querySelector("[data-weighs]").textContent = grams(weighs);
    row.querySelector("[data-take]").textContent = empties ? word("all").textContent : word("take").dataset.take.replace("%s", grams(take));
    return row;
  }
  function rowAsItCame(code, last) {
    const same = JSON.stringify(knew.cans[code]?.last) === JSON.stringify(last);
    return same ? words.querySelector(`[data-can="${code}"]`)?.cloneNode(true) : null;
  }
  // The clocks of a stage that were pressed without signal, and what was typed beside them.
  function fillIn(entry) {
    const fields = Object.fromEntries(entry.fields), pressed = form.elements[fields.clock], at = onShopClock(entry.typedAt);
    if (!pressed) return;
    for (const [name, value] of Object.entries(fields)) if (form.elements[name]?.value === "") form.elements[name].value = value;
    pressed.value = shopTime(at);
    form.elements[`${fields.clock}_instant`].value = new Date(at).toISOString();
  }
  function begin({ hanging, enough }, first) {
    form.elements.container.value = asked ?? hanging ?? first ?? "";
    const next = hanging ? (enough ? "off" : "empty") : "before";
    for (const one of form.elements.what) one.checked = one.value === next;
    form.querySelector(".doing").textContent = form.querySelector("[name=what]:checked").closest("label").textContent.trim();
  }

  // --- What the rules say stands where the server's answer would.
  function show(all) {
    for (const old of form.querySelectorAll(".offline")) old.remove();
    if (form.id !== "weigh") return beside(all);
    const reading = form.elements.reading.value.trim(), lines = all.map((one) => told(one.weight, one.sentence));
    const warns = all.filter((one) => one.weight === "warns"), codes = warns.map((one) => one.code);
    if (warns.length && !all.some((one) => one.blocks)) {
      const asks = word(codes.includes("sealed-light") ? "light" : codes.includes("other-can-on") ? "both" : "keep");
      for (const button of asks.querySelectorAll("button")) button.value += `${codes.join(" ")}@${reading}`;
      lines.push(asks);
    }
    if (all.some((one) => one.weight !== "note")) lines.push(word("unsaved"));
    else if (reading) lines.push(...summed());
    answer.replaceChildren(...lines);
    answer.classList.toggle("asks", all.some((one) => one.weight !== "note"));
  }
  function summed() {
    const typed = asTicket(Object.fromEntries(new FormData(form)), Date.now()), sum = rules.charge(context, [typed]);
    if (typed.what === "before") return [];
    const line = told("sum", rules.mass(BigInt(sum.inCar), "g"));
    if (sum.toGo !== null) line.querySelector("[data-to-go]").append(rules.mass(BigInt(sum.toGo), "g"));
    return [line];
  }
  function beside(all) {
    for (const one of all) {
      const line = told(one.weight, one.sentence), field = form.elements[one.field]?.closest?.(".field");
      line.classList.add("error", "offline");
      if (field) field.querySelector(".given, fieldset")?.after(line);
      else form.prepend(line);
    }
    form.querySelector(".offline")?.closest(".field")?.querySelector("input, select")?.focus();
  }

  form?.addEventListener("input", () => {
    clearTimeout(wait);
    if (form.id === "weigh" && away()) wait = setTimeout(() => { if (form.elements.reading.value) show(found()); }, PAUSE);
  });
  form?.addEventListener("submit", (event) => {
    const pressed = event.submitter;
    if (!away() || pressed?.hasAttribute("formaction") || ["later", "clock"].includes(pressed?.name)) return;
    const answered = new Set(pressed?.value.split("@")[0].split(" ")), all = found();
    if (!all.some((one) => one.blocks || (one.weight === "warns" && !answered.has(one.code)))) return;
    event.preventDefault();
    show(all);
    answer?.scrollIntoView({ block: "nearest" });
  });
  if (copy && asked && form?.id === "weigh") form.elements.container.value = asked;
  if (form) reckon();
}
