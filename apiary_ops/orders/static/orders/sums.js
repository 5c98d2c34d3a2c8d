/* A comfort: the sums follow what is typed. Without it the button "Work out the sums" does the same. */
"use strict";

const form = document.querySelector("[data-sums-form]");
let latest = 0;

async function showSums() {
  const turn = ++latest;
  const data = new FormData(form);
  data.set("act", "sums");
  const answer = await fetch(form.action, { method: "POST", body: data, credentials: "same-origin" });
  if (!answer.ok || turn !== latest) {
    return;
  }
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const sums = page.getElementById("sums");
  if (sums && turn === latest) {
    document.getElementById("sums").replaceWith(sums);
  }
}

let waiting;
form?.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(() => showSums().catch(() => {}), 250);
});
