/* Comforts only: every page works without this file. */
"use strict";

function closeMenus(keepOpen) {
  for (const menu of document.querySelectorAll("details.menu[open]")) {
    if (!menu.contains(keepOpen)) {
      menu.open = false;
    }
  }
}

document.addEventListener("click", (event) => closeMenus(event.target));

document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") {
    return;
  }
  const menu = document.activeElement?.closest("details.menu[open]");
  closeMenus(null);
  menu?.querySelector("summary").focus();
});

/* A refused form reads its refusal first. */
document.querySelector("[data-refusal]")?.focus();
