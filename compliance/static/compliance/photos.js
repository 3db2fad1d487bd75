// A photo is shrunk before it is sent, and sent beside the page: what was typed in another form stays as it is.
const LONGEST = 1600;

for (const note of document.querySelectorAll("#photos .unscripted")) note.remove();

document.addEventListener("submit", (event) => {
  const part = event.target.closest("#photos");
  if (!part || event.defaultPrevented) return;
  event.preventDefault();
  send(event.target, part);
});

async function send(form, part) {
  const said = part.querySelector(".said");
  const button = form.querySelector("button");
  button.disabled = true;
  said.textContent = part.dataset.sending;
  try {
    const body = new FormData(form);
    body.set("photo", await shrunk(body.get("photo")), "photo");
    const answer = await fetch(form.action, { method: "POST", body });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const next = page.querySelector("#photos .part");
    if (!next) throw new Error(answer.status);
    next.querySelector(".unscripted")?.remove();
    part.querySelector(".part").replaceWith(next);
    said.replaceChildren(...page.querySelectorAll(".messages > *"));
    (part.querySelector(".wrong input") || part).focus();
  } catch {
    said.textContent = part.dataset.failed;
    button.disabled = false;
  }
  delete form.dataset.sent;
}

// What the browser cannot read is sent as it is; the server says what it thinks of it.
async function shrunk(photo) {
  const picture = await createImageBitmap(photo, { imageOrientation: "from-image" }).catch(() => null);
  const scale = picture ? LONGEST / Math.max(picture.width, picture.height) : 1;
  if (scale >= 1) return photo;
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  const pen = canvas.getContext("2d");
  pen.fillStyle = "white";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
  const smaller = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.9));
  return smaller && smaller.size < photo.size ? smaller : photo;
}
