/* The words of every screen, from the one table in the shell, where they are translated. */

const table = new Map();

export function readWords(template) {
  for (const row of template.content.querySelectorAll("[data-word]")) {
    table.set(row.dataset.word, row.textContent.trim());
  }
}

/** The words by their name, with {places} filled in. A name that is missing is a fault in the shell, so it throws. */
export function say(name, values = {}) {
  if (!table.has(name)) {
    throw new Error(`The shell has no words for "${name}".`);
  }
  return table.get(name).replace(/\{(\w+)\}/g, (place, key) => (key in values ? String(values[key]) : place));
}
