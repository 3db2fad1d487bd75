// Which can to take next, by what the page took along and what waits here: the twin of compliance/core/next_cans.py.
"use strict";

globalThis.tarebookNextCans = ({ cans }, wanted) => {
  const most = (one, other) => (one > other ? one : other), order = (one, other) => (one < other ? -1 : one > other ? 1 : 0);
  const mayGoOn = (can) => "left" in can && !can.on && !can.emptied;
  const left = (can) => BigInt(can.left) - (can.on_job ? BigInt(can.before) - BigInt(can.last.gross) : 0n);
  const weighs = (can) => (can.last ? BigInt(can.last.gross) : left(can) + BigInt(can.kind[1]));

  const turn = Object.entries(cans).filter(([, can]) => mayGoOn(can))
    .sort(([one, a], [other, b]) => order(!a.last, !b.last) || order(a.came, b.came) || order(one, other));
  const hanging = Object.values(cans).find((can) => can.on), takes = [];
  let open = wanted === null || (hanging && !hanging.kind) ? 0n : BigInt(wanted);
  if (hanging?.kind) open -= most(BigInt(hanging.last.gross) - BigInt(hanging.kind[1]), 0n);
  for (const [code, can] of turn) {
    const gives = left(can) - BigInt(can.heel), take = gives < open ? gives : open;
    if (take <= 0n) continue;
    takes.push({ code, weighs: `${weighs(can)}`, take: `${take}`, empties: take === gives });
    open -= take;
  }
  return { first: turn[0]?.[0] ?? null, takes };
};
