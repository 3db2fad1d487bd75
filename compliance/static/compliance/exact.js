// Exact numbers: [numerator, denominator] of BigInt, the denominator above nothing. No sum and no limit of ours is a float.
"use strict";

globalThis.tarebookExact = (() => {
  const whole = (number) => [BigInt(number), 1n];
  const fraction = (text) => {
    if (text.includes("/")) return text.split("/").map(BigInt);
    const [front, behind = ""] = text.split(".");
    return [BigInt(front + behind), 10n ** BigInt(behind.length)];
  };
  const add = ([a, b], [c, d]) => [a * d + c * b, b * d];
  const minus = (one, [c, d]) => add(one, [-c, d]);
  const times = ([a, b], [c, d]) => [a * c, b * d];
  const over = ([a, b], [c, d]) => (c < 0n ? [-a * d, b * -c] : [a * d, b * c]);
  const compare = ([a, b], [c, d]) => (a * d < c * b ? -1 : a * d > c * b ? 1 : 0);
  const most = (one, other) => (compare(one, other) < 0 ? other : one);
  const size = ([a, b]) => [a < 0n ? -a : a, b];
  const zero = whole(0);
  /** Half-even at so many decimals, as a whole number of the last one. */
  function rounded([a, b], places = 0) {
    const up = a * 10n ** BigInt(places), far = up < 0n ? -up : up;
    const half = 2n * (far % b), near = far / b + (half > b || (half === b && (far / b) % 2n === 1n) ? 1n : 0n);
    return up < 0n ? -near : near;
  }
  function fixed(number, places) {
    const digits = `${number < 0n ? -number : number}`.padStart(places + 1, "0"), cut = digits.length - places;
    return `${number < 0n ? "-" : ""}${digits.slice(0, cut)}${places ? `.${digits.slice(cut)}` : ""}`;
  }
  const shown = (number, places) => fixed(rounded(number, places), places);
  return { whole, fraction, add, minus, times, over, compare, most, size, rounded, fixed, shown, zero };
})();
