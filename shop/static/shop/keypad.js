// The digits of the PIN page type into its field; one more tap, or Enter, signs on.
"use strict";

const keypad = document.querySelector(".keypad");
const field = document.querySelector("input.pin");
keypad.hidden = false;
document.querySelector(".without-keypad").hidden = true;
field.inputMode = "none"; // the keypad stands there already

keypad.addEventListener("click", (event) => {
  const key = event.target.closest("button[type=button]");
  if (!key) return;
  if (key.value === "clear") field.value = "";
  else if (field.value.length < field.maxLength) field.value += key.value;
});
