/* Comforts: the arrows go up and down a column, Enter goes down it, and a stray link does not lose an evening's typing.
   Without them Tab goes along the rows. */
"use strict";

const STEPS = { ArrowUp: -1, ArrowDown: 1, Enter: 1 };

document.querySelector("[data-grid]")?.addEventListener("keydown", (event) => {
  const step = STEPS[event.key];
  const cell = event.target.closest("td");
  if (!step || !cell || event.isComposing) {
    return;
  }
  const row = cell.parentElement;
  const next = step > 0 ? row.nextElementSibling : row.previousElementSibling;
  const input = next?.children[cell.cellIndex]?.querySelector("input");
  if (input) {
    event.preventDefault();
    input.focus();
    input.select();
  }
});

for (const form of document.querySelectorAll("[data-grid]")) {
  let unsaved = form.querySelector("[data-refusal]") !== null;
  form.addEventListener("input", () => {
    unsaved = true;
  });
  form.addEventListener("submit", () => {
    unsaved = false;
  });
  window.addEventListener("beforeunload", (event) => {
    if (unsaved) {
      event.preventDefault();
    }
  });
}
