// A serial port that a test speaks through, in place of the browser's own. It behaves as the Web Serial API says
// (WICG, Web Serial API): a port that was chosen once is given again without asking, noise ends one stream and the port
// has another one, and a port that is gone has none. What it was opened with stands in window.opened.
{
  let streams = null, here = true;
  const events = new EventTarget();
  const port = {
    readable: null,
    getInfo: () => window.portInfo || { usbVendorId: 1, usbProductId: 2 },
    async open(options) {
      if (this.readable) throw new DOMException("already open", "InvalidStateError");
      if (window.portIsBusy) throw new DOMException("in use", "NetworkError");
      window.opened = options;
      stream();
    },
    async close() { this.readable = streams = null; window.closed = (window.closed || 0) + 1; },
  };
  function stream() {
    port.readable = new ReadableStream({ start(one) { streams = one; }, cancel() { streams = null; } });
  }
  const granted = () => JSON.parse(sessionStorage.getItem("granted") || "[]");
  Object.defineProperty(Navigator.prototype, "serial", { configurable: true, value: {
    getPorts: async () => (here && granted().length ? [port] : []),
    async requestPort() {
      window.askedForPort = (window.askedForPort || 0) + 1;
      if (window.nobodyChooses) throw new DOMException("none chosen", "NotFoundError");
      sessionStorage.setItem("granted", '["yes"]');
      return port;
    },
    addEventListener: (...rest) => events.addEventListener(...rest),
  } });
  window.scaleSends = (text) => streams?.enqueue(Uint8Array.from(text, (one) => one.charCodeAt(0)));
  window.noise = () => { const old = streams; stream(); old.error(new DOMException("framing", "FramingError")); };
  window.unplug = () => { const old = streams; here = false; port.readable = streams = null; old.error(new DOMException("gone", "NetworkError")); };
  window.plugIn = () => { here = true; events.dispatchEvent(new Event("connect")); };
  // A line every 100 ms, as a bench scale sends them.
  window.scaleShows = (line) => {
    clearInterval(window.sending);
    if (line !== null) window.sending = setInterval(() => window.scaleSends(`${line}\r\n`), 100);
  };
}
