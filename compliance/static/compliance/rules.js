// The rules for an entry, asked without a signal: the twin of compliance/core/entry_rules.py. The rules themselves are
// rows of data that come with the page (#entry-rules); here they are only read. Numbers are those of exact.js.
"use strict";

(() => {
  const own = (_name, one) => (one?.constructor === Object ? Object.assign(Object.create(null), one) : one); // no inherited names
  let book = JSON.parse(document.getElementById("entry-rules").textContent, own).tables; // in the reader's language

  const { whole, fraction, add, minus, times, over, compare, most, size, rounded, fixed, shown, zero } = globalThis.tarebookExact;

  // --- Masses and the text they are typed as.
  const countedIn = (unit) => (unit === "lb+oz" ? "oz" : unit);
  const perUnit = (unit) => fraction(book.typed.units[countedIn(unit)]);
  const mass = (number, unit) => whole(rounded(times(number, perUnit(unit))));
  const inUnit = (ug, unit) => over(ug, perUnit(unit));
  const withUnit = (text, unit) => (unit === "lb+oz" ? text : `${text} ${unit}`);
  const regular = (source, ends) => new RegExp(ends + source.replaceAll("(?P<", "(?<").replaceAll("\\s", "[ \\t-\\r]") + (ends && ")$"), "i");
  const pattern = (name, ends) => regular(book.typed.patterns[name], ends);
  const fits = (name, text) => text.match(pattern(name, "^(?:"));
  const canonical = (number) => {
    const [front, behind] = number.replace(",", ".").split(".");
    return (front.replace(/^0+/, "") || "0") + (behind ? `.${behind}` : "");
  };
  /** A scale's step in its unit, and the decimals it shows. */
  function steps(division, unit) {
    const step = rounded(inUnit(division, unit), 5);
    const text = fixed(step, 5).replace(/\.?0+$/, "");
    return { step: [step, 100000n], text, places: text.split(".")[1]?.length ?? 0 };
  }
  function saidMass(ug, unit) {
    if (unit !== "lb+oz") return `${shown(inUnit(ug, unit), { g: 0, oz: 1 }[unit] ?? 3)} ${unit}`;
    const ounces = rounded(inUnit(ug, "oz"), 1), pounds = ounces / 160n;
    return `${pounds ? `${pounds} lb ` : ""}${fixed(ounces % 160n, 1)} oz`;
  }

  // --- From what was typed to a reading: twin of shop/core/reading.py.
  const said = (text) => book.words[text] ?? text;
  const filled = (sentence, values, look = (value) => value) =>
    sentence.replace(/\{(\w+)(?::[^}]*)?\}/g, (_all, name) => said(look(values[name] ?? name)));
  const refusal = (what, values = {}) => ({ refused: finding(book.typed.says[what][0], "blocks", "reading", filled(book.typed.says[what][1], values)) });
  const finding = (code, weight, field, sentence) => ({ code, field, sentence, weight, blocks: weight === "blocks" });
  const thousands = (text) => text.replace(/\B(?=(\d{3})+$)/g, ",");

  function read(text, unit, onScale = false) {
    const typed = spaced(text);
    if (!typed) return refusal("empty");
    if ([...typed].length > book.typed.longest) return refusal("long");
    if ("-−–".includes(typed[0])) return refusal("negative");
    if (fits("grouped", typed.split(" ")[0])) return refusal("grouped", { typed });
    const parts = notAnOunce(typed) ?? (unit === "lb+oz" ? poundsAndOunces(typed) : plain(typed, unit, onScale ? "other-scale" : "other"));
    if (parts.refused) return parts;
    if (compare(times(parts.number, perUnit(unit)), whole(book.typed.largest)) > 0) return refusal("large", { typed });
    return { text: parts.text, unit, number: parts.shown, ug: mass(parts.number, unit) };
  }
  function notAnOunce(typed) {
    if (typed.match(pattern("fluid", ""))) return refusal("fluid");
    return typed.match(pattern("troy", "")) ? refusal("troy") : null;
  }
  function plain(typed, unit, other) {
    const match = fits("number", typed);
    if (!match && fits("pounds", typed) && /lb|pound|:/i.test(typed)) return refusal(other, { written: "lb+oz", unit });
    if (!match) return refusal("number", { typed });
    const named = match.groups.unit.trim(), written = named ? unitNamed(named) : unit;
    if (written.refused) return written;
    if (written !== unit) return refusal(other, { written, unit });
    const text = canonical(match.groups.number), number = fraction(text);
    return { text, number, shown: number };
  }
  function unitNamed(text) {
    const name = text.toLowerCase().replace(/\.+$/, "").split(" ").filter(Boolean).join(" ");
    const [unknown, missing] = book.typed.noUnit;
    return notAnOunce(name) ?? book.typed.names[name]
      ?? refusal("no-unit", { said: name ? filled(unknown, { name: text.slice(0, 20) }) : missing });
  }
  function poundsAndOunces(typed) {
    const match = fits("pounds", typed);
    if (!match) return refusal("lb-oz");
    const pounds = BigInt(match.groups.lb), ounces = canonical(match.groups.oz), number = fraction(ounces);
    if (compare(number, whole(16)) >= 0) return refusal("sixteen", { ounces });
    return { text: `${pounds} lb ${ounces} oz`, shown: number, number: add(whole(pounds * 16n), number) };
  }
  /** Whether a display with this division can show the number at all. */
  function onThisScale(reading, division) {
    const { step, text, places } = steps(division, reading.unit), typed = withUnit(reading.text, reading.unit);
    const decimals = reading.text.replace(/ oz$/, "").split(".")[1]?.length ?? 0, { says } = book.typed;
    if (decimals > places) {
      if (reading.unit !== "g" || places) {
        const [words, more] = [book.typed.places.slice(0, -1), book.typed.places.at(-1)];
        return refusal("decimals", { as_many: words[places] ?? filled(more, { shown: places }), reading: typed }).refused;
      }
      const [as_ounces, as_pounds] = ["oz", "lb"].map((unit) => thousands(shown(inUnit(mass(reading.number, unit), "g"), 0)));
      return refusal("ounces", { reading: reading.text, as_ounces, as_pounds }).refused;
    }
    const [count, left] = over(reading.number, step);
    if (count % left === 0n) return null;
    const values = { reading: typed, steps: `${text} ${countedIn(reading.unit)}` };
    return finding(says.between[0], "warns", "reading", filled(says.between[1], values));
  }

  // --- What a gauge's text says: twin of shop/core/gauge_text.py.
  const spaced = (text) => text.split(/[\t-\r\x1c-\x20\x85\xa0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000]+/).filter(Boolean).join(" ");
  function gaugeText(text) {
    const match = spaced(text).match(regular(book.gauge.shown, "^(?:"));
    return match && { value: fraction(match.groups.number.replace("−", "-").replace(",", ".")), unit: match.groups.unit.trim().toLowerCase() };
  }
  const unitOf = (text) => gaugeText(text)?.unit ?? null;
  const pressure = (text) => book.gauge.pressures[unitOf(text)] ?? null;
  const counts = (text) => pressure(text)?.[0] ?? null;
  const pascal = (text) => (pressure(text) ? times(gaugeText(text).value, fraction(pressure(text)[1])) : null);
  function kelvin(text) {
    const [, each, from] = book.gauge.degrees.find(([names]) => names.includes(unitOf(text))) ?? [];
    if (!each) return null;
    const found = add(times(minus(gaugeText(text).value, fraction(from)), fraction(each)), fraction(book.gauge.zero));
    return compare(found, zero) > 0 ? found : null;
  }
  const bulb = (text) => book.gauge.bulbs.map((words) => text.toLowerCase().split(words))
    .map(([number, ...there]) => (there.length ? kelvin(number) : null)).find((found) => found !== null) ?? null;

  // --- Rows of rules: twin of shop/core/rule_rows.py. Null is what is not known.
  function swapped(number, unit, expected, square) {
    if (!book.typed.units[unit]) return null;
    const digits = [...number].flatMap((mark, place) => (mark === "." ? [] : [place]));
    for (let at = 1; at < digits.length; at++) {
      const marks = [...number], [one, two] = [digits[at - 1], digits[at]];
      [marks[one], marks[two]] = [marks[two], marks[one]];
      const off = minus(mass(fraction(marks.join("")), unit), expected);
      if (compare(times(off, off), square) <= 0) return marks.join("");
    }
    return null;
  }
  function otherUnit(number, unit, low, high, near) {
    if (!book.typed.units[unit]) return null;
    const meant = Object.keys(book.typed.words).map((one) => ({ one, ug: mass(fraction(number), one) }));
    const inside = meant.filter(({ ug }) => compare(low, ug) <= 0 && compare(ug, high) <= 0);
    const far = ({ ug }) => size(minus(near, ug));
    return inside.reduce((best, next) => (best && compare(far(best), far(next)) <= 0 ? best : next), null)?.one ?? null;
  }
  const known = (compute) => (look, ...args) => {
    const values = args.map((one) => look(one));
    return values.some((one) => one === null) ? null : compute(...values);
  };
  const ofTheNumber = (compute) => (look, ...args) => known((...values) => compute(look("number"), look("unit"), ...values))(look, ...args);
  const OPERATORS = {
    "+": known((...values) => values.reduce(add)), "-": known(minus), "*": known((...values) => values.reduce(times)), "/": known(over),
    max: known((...values) => values.reduce(most)), abs: known(size),
    ">": known((one, other) => compare(one, other) > 0), "<": known((one, other) => compare(one, other) < 0),
    same: known((one, other) => (Array.isArray(one) ? compare(one, other) === 0 : one === other)),
    beyond: known((one, square) => compare(one, zero) > 0 && compare(times(one, one), square) > 0),
    and: (look, ...args) => args.every((one) => look(one) === true), or: (look, ...args) => args.some((one) => look(one) === true),
    not: (look, one) => look(one) !== true, known: (look, ...args) => args.every((one) => look(one) !== null && look(one) !== ""),
    is: (look, one, ...texts) => texts.includes(look(one)),
    if: (look, condition, yes, no) => (look(condition) === true ? look(yes) : no === undefined ? null : look(no)),
    swapped: ofTheNumber(swapped), "other-unit": ofTheNumber(otherUnit),
    converted: (look, meant) => withUnit(shown(inUnit(mass(fraction(look("number")), look(meant)), look("unit")), Number(look("places")[0])), look("unit")),
    "unit-word": known((unit) => book.typed.words[unit]), g: known((ug) => shown(inUnit(ug, "g"), 0)),
    mass: (look, one) => saidMass(look(one), look("unit")), floor: known(([a, b]) => `${a / b - (a % b < 0n ? 1n : 0n)}`), kelvin: known(kelvin), pascal: known(pascal), counts: known(counts), "unit-of": known(unitOf), bulb: known(bulb),
    "in-unit": (look, one) => `${look(one)} ${look("unit")}`,
  };
  function looking(terms, facts) {
    const seen = new Map(Object.entries(facts).map(([name, one]) => [name, typeof one === "number" ? whole(one) : one ?? null]));
    const look = (said) => {
      if (typeof said !== "string") return OPERATORS[said[0]](look, ...said.slice(1));
      if (/^[-\d]/.test(said)) { const [number, unit] = said.split(" "); return times(fraction(number), whole(unit ? 1000000 : 1)); }
      if (!seen.has(said)) seen.set(said, said in terms ? look(terms[said]) : null);
      return seen.get(said);
    };
    return look;
  }
  function judge(rows, look) {
    const spoken = new Set(), found = [];
    for (const [code, weight, field, when, sentence, values, group] of rows) {
      if ((group && spoken.has(group)) || look(when) !== true) continue;
      found.push(finding(code, weight, field, filled(sentence, values, look)));
      spoken.add(group);
    }
    return found;
  }

  // --- One entry, with what the page knew: twin of compliance/core/entry_rules.py.
  const ADDRESS = /^HTTPS?:\/\/\S+\/CONTAINERS\/([A-Z0-9-]{1,24})\/?$/;
  function numberIn(text) {
    const code = text.trim().toUpperCase(), scanned = code.match(ADDRESS);
    if (scanned) return scanned[1];
    const digits = code.replace(/^K-/, "").replace(/^K/, "");
    return /^\d{1,8}$/.test(digits) ? `K-${digits.replace(/^0+(?=\d)/, "").padStart(4, "0")}` : code;
  }
  const origin = (fields) => (fields.from_label ? "from label" : (fields.said_at ?? null) === null ? "weighed" : "typed later");
  /** The reading that was typed, or what a full can of this kind weighs as this scale would show it. */
  function readingOf(fields, can, { division, unit }) {
    if (!fields.from_label || !can.kind) return read(fields.reading, unit);
    const full = whole(can.kind[0] + can.kind[1]), as = unit === "lb+oz" ? "g" : unit;
    return read(shown(inUnit(full, as), steps(whole(division), as).places), as);
  }
  const look = (kind, fields, context) => (kind === "ticket" ? lookAtTicket(fields, context) : lookAtStage(kind, fields, context));
  function lookAtStage(kind, fields, context) {
    const facts = { ...fields, now: context.now }, unread = [], scale = context.scales?.[fields.scale];
    if (kind === "recovery") {
      Object.assign(facts, context.cylinders[fields.cylinder] ?? {});
      for (const name of ["before", "after"]) {
        const reading = read(fields[name], scale.unit, true), coarse = reading.refused ?? onThisScale(reading, whole(scale.division));
        facts[name] = reading.refused || coarse?.blocks ? null : reading.ug;
        if (coarse?.blocks) unread.push({ ...coarse, field: name });
      }
    }
    return [...unread, ...judge(book.stage, looking(book.terms, facts))];
  }
  function lookAtTicket(fields, context) {
    const code = numberIn(fields.container), can = context.cans[code] ?? {}, scale = context.scales[fields.scale];
    const reading = readingOf(fields, can, scale), moment = book.moments[fields.what], last = can.last ?? null;
    if (reading.refused) return [reading.refused];
    const onJob = Boolean(can.on_job), rested = !onJob || moment === "before", from = origin(fields);
    const gates = looking(book.car, { can: code, moment, origin: from, on_job: onJob, on: Boolean(can.on), seal: Boolean(can.seal),
      now: context.now, said_at: fields.said_at, earlier: last && onJob ? last.at : context.came });
    const stopped = judge([...book.gates, ...book.said], gates);
    if (stopped.length) return stopped;
    const typed = { can: code, number: reading.text, unit: reading.unit, reading: withUnit(reading.text, reading.unit), gross: reading.ug };
    const found = judge(book.here, looking({}, { can: code, here: can.kind ? "yes" : null }));
    if (can.kind) {
      const [net, shell, spread] = can.kind, division = whole(scale.division);
      found.push(...judge(book.ticket, looking(book.terms, { ...typed, net, shell, spread, division, style: fields.style, origin: from,
        places: steps(division, reading.unit).places, first: rested, sealed: rested && !last, since: last && onJob ? last.clock : null,
        ...(last && { before: last.gross, before_division: last.division, before_style: last.style, before_origin: last.origin,
          before_reading: withUnit(last.text, last.unit) }) })));
    }
    if (reading.unit === scale.unit && !found.some((one) => one.code === "unit-slip")) {
      const coarse = onThisScale(reading, whole(scale.division));
      if (coarse) found.push(coarse);
    }
    if (found.some((one) => one.blocks)) return found;
    const other = Object.entries(context.cans).find(([name, one]) => one.on && name !== code);
    const facts = { ...typed, moment, drawn: last && !rested ? minus(whole(last.gross), reading.ug) : null,
      ...(other && { other: other[0], other_since: other[1].since, other_reading: withUnit(other[1].last.text, other[1].last.unit) }) };
    if (onJob && moment !== "before" && context.label !== null) {
      Object.assign(facts, { in_car: state(context, { [code]: reading.ug }).inCar, label: context.label, tolerance: context.tolerance,
        stop: stopOf(can, state(context, {}).wanted).ug });
    }
    return [...found, ...judge(book.beside, looking(book.car, facts))];
  }

  // --- The sum: twin of compliance/core/charge_state.py.
  const notBelow = (number) => most(number, zero);
  function state(context, pretend) {
    let drawn = zero, lost = whole(context.gone);
    for (const [code, can] of Object.entries(context.cans)) {
      if (!can.on_job) continue;
      const out = notBelow(minus(whole(can.before), pretend[code] ?? whole(can.last.gross))), waiting = whole(can.waiting ?? 0);
      drawn = add(drawn, out);
      lost = add(lost, compare(waiting, out) < 0 ? waiting : out);
    }
    const none = compare(drawn, zero) === 0, hoses = whole(context.hoses), label = context.label === null ? null : whole(context.label);
    if (!context.assumed || !none) lost = add(lost, hoses);
    const inCar = none ? zero : notBelow(minus(drawn, lost)), tolerance = whole(context.tolerance);
    if (label === null) return { drawn, inCar, toGo: null, wanted: null, over: null, inside: false };
    const off = minus(inCar, label), ahead = context.assumed && none ? hoses : zero;
    return { drawn, inCar, toGo: notBelow(minus(label, inCar)), wanted: notBelow(minus(add(add(label, lost), ahead), drawn)),
      over: compare(off, tolerance) > 0 ? off : null, inside: compare(size(off), tolerance) <= 0 };
  }
  /** Where a can has given what is wanted, rounded up to the scale's step; all null where nobody can say. */
  function stopOf(can, wanted) {
    const nowhere = { ug: null, text: null, enough: false };
    if (!can.kind || wanted === null || compare(wanted, zero) <= 0) return nowhere;
    const { gross, shows, division } = can.last, gives = notBelow(minus(whole(gross), whole(can.kind[1])));
    const enough = compare(gives, wanted) >= 0, left = minus(whole(gross), enough ? wanted : gives);
    if (compare(left, zero) <= 0) return { ...nowhere, enough };
    const { step, places } = steps(whole(division), shows), [a, b] = over(minus(left, whole(1)), times(step, perUnit(shows)));
    const number = times(whole(a <= 0n ? 0n : (a + b - 1n) / b), step), ug = mass(number, shows);
    if (shows !== "lb+oz") return { ug, text: withUnit(shown(number, places), shows), enough };
    const pounds = number[0] / number[1] / 16n;
    return { ug, text: `${pounds} lb ${shown(minus(number, whole(pounds * 16n)), places)} oz`, enough };
  }
  /** The context once these tickets are kept, in their order. One that cannot be read changes nothing. */
  function after(context, entries) {
    const later = structuredClone(context);
    for (const fields of entries) {
      const can = (later.cans[numberIn(fields.container)] ??= {}), scale = later.scales[fields.scale], before = fields.what === "before";
      const reading = readingOf(fields, can, scale);
      if (reading.refused) continue;
      const gross = Number(reading.ug[0]);
      if (!can.on_job) Object.assign(can, { on_job: true, before: gross, waiting: 0 });
      else if (before && can.last.gross - gross > book.frost) can.waiting = (can.waiting ?? 0) + can.last.gross - gross;
      if (!can.on) can.since = fields.clock ?? "00:00";
      Object.assign(can, { on: book.staysOn.includes(fields.what), emptied: fields.what === "empty", seal: false, last: { gross, division: scale.division,
        style: fields.style, origin: origin(fields), text: reading.text, unit: reading.unit, shows: scale.unit,
        at: fields.at ?? 0, clock: fields.clock ?? "00:00" } });
    }
    return later;
  }
  const text = (number) => (number === null ? null : `${number[0]}`);
  function charge(context, entries) {
    const later = after(context, entries), now = state(later, {});
    const [hanging, can] = Object.entries(later.cans).find(([, one]) => one.on) ?? [null, null];
    const stop = can ? stopOf(can, now.wanted) : { ug: null, text: null, enough: false };
    return { out: text(now.drawn), inCar: text(now.inCar), toGo: text(now.toGo), wanted: text(now.wanted), over: text(now.over), inside: now.inside,
      hanging, stop: stop.text, stopUg: text(stop.ug), enough: stop.enough };
  }

  const using = (tables) => { book = JSON.parse(JSON.stringify(tables), own); }; // those of another page or language
  globalThis.tarebookRules = { look, after, charge, using, mass: (ug, unit) => saidMass(whole(ug), unit) };
})();
