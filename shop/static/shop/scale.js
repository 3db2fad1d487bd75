// A bench scale that sends plain lines of text, where the browser offers serial ports (Bluetooth ones appear as such).
// It offers a steady weight beside the field; it never fills it by itself and sends nothing. What a line may look like
// stands in shop/core/scale_line.py alone: the page hands its patterns on.
"use strict";

{
const ENOUGH = 3, STEADY = 1000; // readings that are equal, over so many ms, are a steady weight (the tool's own choice)
const KEPT = 2000; // ms for which it may still be used after it stopped standing there: somebody leaned on the bench
const SILENT = 3000, STRANGE = 3; // ms without a line, and lines in a row that are no weight, before that is said
const STORE = "tarebook:scales"; // this device's scales: {"SC-1": {"port": …, "line": "9600 8N1"}}
const LINE = "9600 8N1"; // common practice, no source
const SCALE = "select:has(+ template.scale-words)";

const sheet = document.querySelector("template.scale-words"); // none where the form has nothing to weigh just now
const patterns = sheet && Object.fromEntries(["line", "over", "twoWays"].map((name) => [name, new RegExp(sheet.dataset[name], "i")]));
const words = (name, ...values) => values.reduce(
  (text, value) => text.replace("%s", value), sheet.content.querySelector(`[data-word="${name}"]`).textContent);

function readLine(line) {
  const text = line.replace(/^ +| +$/g, "");
  const nothing = (said) => ({ said, text: "", unit: "", net: false });
  if (text.length > Number(sheet.dataset.longest)) return nothing("unreadable");
  const found = text.match(patterns.line)?.groups;
  if (!found) return nothing(patterns.over.test(text) ? "overload" : "unreadable");
  if (!found.unit) return nothing("no unit");
  const number = found.number.replace(/^0+/, "");
  if (patterns.twoWays.test(number)) return nothing("two ways");
  const shown = number.replace(",", ".").replace(/^(?=\.|$)/, "0");
  const mark = (found.head || found.tail || found.doubt || "").toUpperCase();
  const moving = { "": "weight", ST: "settled", S: "settled" }[mark] || "moving";
  const said = found.sign === "-" && /[1-9]/.test(shown) ? "negative" : moving;
  return { said, text: shown, unit: found.unit.toLowerCase().replace(/s$/, ""), net: /^NT?$/i.test(found.mode || "") };
}

function kept(change) {
  let all = {};
  try { all = JSON.parse(localStorage.getItem(STORE)) || {}; } catch { /* begin anew */ }
  if (change) { change(all); try { localStorage.setItem(STORE, JSON.stringify(all)); } catch { /* asks again next time */ } }
  return all;
}

function settings(line) {
  const [, baud, bits, parity, stops] = line.match(/^(\d+) ([78])([NEO])([12])$/);
  return { baudRate: Number(baud), dataBits: Number(bits), parity: { N: "none", E: "even", O: "odd" }[parity], stopBits: Number(stops) };
}

function nameOf(port) {
  const { usbVendorId: maker, usbProductId: kind, bluetoothServiceClassId: service } = port.getInfo();
  return maker !== undefined ? `usb ${maker}:${kind}` : service ? `bluetooth ${service}` : "port";
}

// --- From bytes to lines. The piece before the first end of a line is dropped, and so is what an error broke off: the
// end of "1612 g" is a weight too.
function lines(take) {
  let rest = "", whole = false;
  return {
    feed(bytes) {
      for (const byte of bytes) {
        if (byte === 10 || byte === 13 || byte === 3) {
          if (whole && rest.trim()) take(rest);
          [rest, whole] = ["", true];
        } else if (byte !== 2) rest += byte > 31 && byte < 127 ? String.fromCharCode(byte) : "\ufffd";
        if (rest.length > 200) { take(rest); [rest, whole] = ["", false]; }
      }
    },
    broken() { [rest, whole] = ["", false]; },
  };
}

// Reads until it is stopped, which the answered function does, or until the port is gone.
function listen(port, take, gone) {
  const cut = lines(take);
  let reader = null, stopped = false;
  const ended = (async () => {
    while (port.readable && !stopped) {
      reader = port.readable.getReader();
      try {
        let got = await reader.read();
        for (; !got.done; got = await reader.read()) cut.feed(got.value);
        break;
      } catch {
        cut.broken(); // noise on the line; the next piece has a reader of its own
        await new Promise((on) => { setTimeout(on, 50); });
      } finally {
        reader.releaseLock();
      }
    }
    await port.close().catch(() => null);
    if (!stopped) gone();
  })();
  return async () => {
    stopped = true;
    await reader?.cancel().catch(() => null);
    await ended;
  };
}

// As a hand would type what a display with these steps shows: 612.0 on whole grams is 612.
function asTyped(text, step) {
  const places = (step.split(".")[1] || "").length, [whole, part = ""] = text.split(".");
  const decimals = part.slice(0, places) + part.slice(places).replace(/0+$/, "");
  return decimals ? `${whole}.${decimals}` : whole;
}

// --- One panel for a form, beside the weight field that was gone to last, else beside the first empty one.
function panel(form, fields) {
  const box = sheet.content.querySelector(".from-scale").cloneNode(true);
  const [live, says, use, connect] = [".live", ".says", ".use", ".connect"].map((one) => box.querySelector(one));
  const scales = [...form.querySelectorAll(SCALE)];
  let field, stop = null, turn = 0; // ends the reading; counts what was asked of the port, since answers take time
  let heard = 0, strange = 0; // when the last line came, and how many in a row were no weight
  let run = [], spent = false; // equal readings in a row, and whether their weight was used already
  let steady = null; // the last steady weight

  // The scale is the list before the field, as on the page of a count that has two.
  const list = () => scales.filter((one) => field.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_PRECEDING).pop() || scales[0];
  const scale = () => list().selectedOptions[0]?.dataset || {};
  const beside = (one) => form.querySelector(`input[type=hidden][name="${CSS.escape(one.name)}_line"]`);
  const write = (one, text) => { if (one.textContent !== text) one.textContent = text; };

  function show() {
    const fresh = Boolean(steady) && !spent && performance.now() - steady.at < KEPT;
    write(use, fresh ? words("use", steady.shown) : words("no use"));
    use.disabled = !fresh;
    use.hidden = !stop;
    live.hidden = !stop;
    write(connect, words("connect", scale().code || ""));
    connect.hidden = Boolean(stop);
  }
  function moved() { // something else stands there now
    if (spent) steady = null;
    [run, spent] = [[], false];
  }
  function tell(word, ...values) { write(says, word && words(word, ...values)); show(); }
  function tellWithLast(word) { write(says, words(word) + (steady ? ` ${words("last", steady.shown, steady.clock)}` : "")); show(); }
  function drop(word, ...values) {
    [run, spent, steady] = [[], false, null];
    tell(word, ...values);
  }

  function take(line) {
    const shown = readLine(line), { code, unit, step } = scale(), now = performance.now();
    heard = now;
    strange = shown.said === "unreadable" ? strange + 1 : 0;
    if (shown.said === "unreadable") {
      moved();
      if (strange < STRANGE) return;
    }
    write(live, shown.text ? `${shown.said === "negative" ? "−" : ""}${shown.text} ${shown.unit}` : "–");
    if (["unreadable", "no unit", "two ways"].includes(shown.said)) return drop(shown.said);
    if (shown.text && shown.unit !== unit) return drop("unit", shown.unit, code, unit);
    if (["negative", "moving", "overload"].includes(shown.said)) {
      moved();
      return tellWithLast(shown.said);
    }
    const steps = Math.round(Number(shown.text) / Number(step));
    if (Math.abs(Number(shown.text) / Number(step) - steps) > 1e-6) return drop("finer", `${shown.text} ${shown.unit}`, code);
    if (run.length && steps !== run[0].steps) moved();
    run = [...run.slice(0, ENOUGH - 1), { at: now, steps }];
    if (run.length < ENOUGH || now - run[0].at < STEADY) return tellWithLast("moving");
    if (!steps) return tellWithLast("empty");
    const text = asTyped(shown.text, step);
    steady = { text, shown: `${text} ${unit}`, line: line.trim(), at: now, clock: new Date().toLocaleTimeString() };
    if (spent) return show();
    return tell(shown.net ? "net" : "steady");
  }

  // Opens the port of the chosen scale. It asks which one it is only when somebody asked to read the scale.
  async function open(asked) {
    const mine = ++turn, ending = stop, { code, unit } = scale();
    stop = null;
    await ending?.();
    if (mine !== turn) return;
    write(live, "–");
    drop("");
    if (!code || unit === "lb+oz") {
      if (asked) tell(code ? "pounds" : "choose", code);
      return;
    }
    const port = await chosen(code, asked);
    if (!port || mine !== turn) return;
    try {
      await port.open(settings(kept()[code]?.line || LINE));
    } catch {
      tell("busy");
      return;
    }
    heard = performance.now();
    stop = listen(port, take, () => { stop = null; write(live, "–"); drop("unplugged"); });
    tell("waiting", code);
  }
  async function chosen(code, asked) {
    const like = async (name) => (await navigator.serial.getPorts()).filter((one) => nameOf(one) === name);
    const own = kept()[code]?.port ? await like(kept()[code].port) : [];
    if (own.length === 1) return own[0];
    if (!asked) return null;
    const port = await navigator.serial.requestPort().catch(() => null);
    if (!port) { tell("none"); return null; }
    const name = nameOf(port), other = Object.entries(kept()).find(([one, its]) => one !== code && its.port === name);
    if (other && (await like(name)).length < 2) { tell("other", other[0], other[0]); return null; } // two alike cannot be told apart
    kept((all) => { all[code] = { ...all[code], port: name }; });
    return port;
  }

  function goTo(one) {
    const from = field && list();
    field = one;
    one.closest(".field").after(box);
    if (from !== list()) open(false);
  }
  function leave() {
    const ending = stop;
    turn += 1;
    stop = null;
    return ending?.();
  }
  for (const one of fields) {
    one.addEventListener("focus", () => goTo(one));
    one.addEventListener("input", () => { beside(one).value = ""; }); // a hand typed
  }
  for (const one of scales) {
    one.addEventListener("change", () => { for (const each of fields) beside(each).value = ""; open(false); });
  }
  connect.addEventListener("click", () => open(true));
  use.addEventListener("click", () => {
    const { text, shown, line } = steady, { code } = scale();
    field.value = text;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    beside(field).value = `${code} ${line}`;
    spent = true;
    tell("taken", shown, code);
  });
  setInterval(() => {
    if (stop && performance.now() - heard > SILENT) { write(live, "–"); drop("silent"); } else show();
  }, 500);
  window.addEventListener("pagehide", leave);
  document.addEventListener("tarebook:lock", leave);
  navigator.serial.addEventListener("connect", () => { if (!stop) open(false); });
  goTo(fields.find((one) => !one.value) || fields[0]);
}

if (sheet && navigator.serial) {
  for (const form of new Set([...document.querySelectorAll(SCALE)].map((one) => one.form))) {
    const fields = [...form.querySelectorAll("input.reading")];
    if (fields.length) panel(form, fields);
  }
}
window.tarebook = Object.assign(window.tarebook || {}, { readLine });
}
