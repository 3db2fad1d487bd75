// The camera reads a can's label as a scanner would, where the browser offers to read codes. It runs only while its
// window is open.
"use strict";

{
const EVERY = 150; // ms between two looks at the picture

async function formats() {
  if (!("BarcodeDetector" in window) || !navigator.mediaDevices?.getUserMedia) return [];
  const offered = await BarcodeDetector.getSupportedFormats().catch(() => []);
  return ["qr_code", "code_128"].filter((one) => offered.includes(one));
}

formats().then((wanted) => {
  if (!wanted.length) return;
  for (const button of document.querySelectorAll("button.camera")) {
    button.hidden = false;
    button.addEventListener("click", () => look(button, new BarcodeDetector({ formats: wanted })));
  }
});

async function look(button, detector) {
  const dialog = button.nextElementSibling.content.firstElementChild.cloneNode(true);
  const video = dialog.querySelector("video"), says = dialog.querySelector(".says");
  const say = (word) => { says.textContent = dialog.querySelector(`[data-word=${word}]`).textContent; };
  let stream = null;

  const close = () => dialog.close();
  dialog.addEventListener("close", () => {
    for (const track of stream?.getTracks() || []) track.stop();
    document.removeEventListener("visibilitychange", close);
    document.removeEventListener("tarebook:lock", close);
    dialog.remove();
    button.focus();
  });
  dialog.querySelector("button").addEventListener("click", close);
  document.addEventListener("visibilitychange", close);
  document.addEventListener("tarebook:lock", close);
  document.body.append(dialog);
  dialog.showModal();

  try {
    stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" }, audio: false });
  } catch (trouble) {
    say({ NotAllowedError: "refused", SecurityError: "refused", NotFoundError: "missing" }[trouble.name] || "failed");
    return;
  }
  if (!dialog.open) { // closed while the browser was asking
    for (const track of stream.getTracks()) track.stop();
    return;
  }
  video.srcObject = stream;
  await video.play().catch(() => say("failed"));
  if (dialog.open) say("looking");
  while (dialog.open) {
    const seen = await detector.detect(video).catch(() => []); // not ready yet
    const codes = seen.map((one) => window.tarebook.numberIn(one.rawValue));
    const code = codes.find((one) => window.tarebook.OURS.test(one));
    if (code && dialog.open) {
      const field = button.parentElement.querySelector("[data-scan]");
      dialog.addEventListener("close", () => window.tarebook.take(field, code));
      close();
      return;
    }
    if (codes.length) say("strange");
    await new Promise((done) => { setTimeout(done, EVERY); });
  }
}
}
