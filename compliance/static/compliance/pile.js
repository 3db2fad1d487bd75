// The pile: what was typed without signal and waits on this device. The worker and the pages share these few words.
"use strict";

globalThis.tarebookPile = (() => {
  const NAME = "tarebook", COPIES = "tarebook copies of ";

  // One step of the database, kept on the disk before it is answered.
  async function step(store, mode, ask) {
    const db = await new Promise((done, failed) => {
      const opening = indexedDB.open(NAME, 1);
      opening.onupgradeneeded = () => {
        opening.result.createObjectStore("pile", { keyPath: "id", autoIncrement: true });
        opening.result.createObjectStore("here");
      };
      opening.onsuccess = () => done(opening.result);
      opening.onerror = () => failed(opening.error);
    });
    try {
      return await new Promise((done, failed) => {
        const change = db.transaction(store, mode, { durability: "strict" });
        const asked = ask(change.objectStore(store));
        change.oncomplete = () => done(asked.result);
        change.onerror = change.onabort = () => failed(change.error);
      });
    } finally {
      db.close();
    }
  }

  const all = () => step("pile", "readonly", (pile) => pile.getAll()); // in the order of typing
  const of = async (who) => (await all()).filter((entry) => entry.who === who);
  const put = (entry) => step("pile", "readwrite", (pile) => pile.put(entry));
  const drop = (id) => step("pile", "readwrite", (pile) => pile.delete(id));
  const here = () => step("here", "readonly", (words) => words.get("here")); // who was last seen signed on, and the clocks
  const arrive = (who) => step("here", "readwrite", (words) => words.put(who, "here"));

  // Copies of pages are for one person in one language ("7 es"); with nobody named, all of them go.
  const copies = (who) => caches.open(COPIES + who);
  async function wipeCopies(but) {
    for (const name of await caches.keys()) if (name.startsWith(COPIES) && name !== COPIES + but) await caches.delete(name);
  }
  // After sign-off nothing is left that can be read, but for what still waits to be sent: how much that is.
  async function leave() {
    await wipeCopies();
    for (const mark of Object.keys(globalThis.localStorage ?? {})) if (mark.startsWith("rang ")) localStorage.removeItem(mark);
    const known = await indexedDB.databases();
    if (!known.some((one) => one.name === NAME)) return 0;
    const left = (await all()).length;
    if (left) await step("here", "readwrite", (words) => words.clear());
    else await new Promise((done) => { const gone = indexedDB.deleteDatabase(NAME); gone.onsuccess = gone.onerror = gone.onblocked = done; });
    return left;
  }
  return { COPIES, all, of, put, drop, here, arrive, copies, wipeCopies, leave };
})();
