// What each box of a form is called, kept in this tab as the form is sent: the page that gives typed text
// back when something failed knows the boxes' names alone. Nothing depends on it.
(() => {
  "use strict";
  const kept = (address) => `labels of ${new URL(address, location.href).pathname}`;
  // As a screen reader has it: some labels are shown short and read whole.
  const words = (element) => {
    const read = element.cloneNode(true);
    for (const shown of read.querySelectorAll("[aria-hidden=true]")) shown.remove();
    return read.textContent.trim().replace(/\s+/g, " ");
  };
  const label = (box) => (box.labels && box.labels[0] ? words(box.labels[0]) : box.getAttribute("aria-label"));

  // Twelve windows have twelve upper glasses: a label that stands twice is told with what it is of.
  function whole(box, often) {
    const own = label(box);
    if (often.get(own) < 2) return own;
    const group = box.closest("[aria-labelledby], [role=group][aria-label]") || box.closest("fieldset");
    if (!group) return own;
    const head = document.getElementById(group.getAttribute("aria-labelledby")) || group.querySelector("legend");
    const of = group.getAttribute("aria-label") || (head && words(head));
    return of ? `${of}: ${own}` : own;
  }

  document.addEventListener("submit", (event) => {
    // Sent again from the page that gave it back: the labels are still those of the first.
    if (event.target.querySelector("[data-typed]")) return;
    const boxes = [...event.target.elements].filter((box) => box.name && box.matches("input:not([type=hidden], [type=submit]), select, textarea") && label(box));
    const often = new Map();
    for (const box of boxes) often.set(label(box), (often.get(label(box)) || 0) + 1);
    const said = {};
    for (const box of boxes) {
      if (box.matches("[type=checkbox], [type=radio]")) said[`${box.name}=${box.value}`] = [whole(box, often), "✓"];
      else if (box.matches("select")) for (const one of box.selectedOptions) said[`${box.name}=${one.value}`] = [whole(box, often), words(one)];
      else said[box.name] = [whole(box, often)];
    }
    try { sessionStorage.setItem(kept(event.target.action), JSON.stringify(said)); } catch { /* a full or forbidden store: names must do */ }
  }, true);

  const typed = document.querySelectorAll("[data-typed]");
  if (!typed.length) return;
  // By where it goes: what waited for a sign-in is given back at another address, after another form was sent.
  const said = JSON.parse(sessionStorage.getItem(kept(typed[0].closest("form").action)) || "null");
  if (!said) return;
  for (const row of typed) {
    const [term, text] = [row.querySelector("dt"), row.querySelector("dd")];
    const known = said[`${row.dataset.typed}=${words(text)}`] || said[row.dataset.typed];
    // What had no box was typed by nobody.
    row.hidden = !known;
    if (!known) continue;
    term.textContent = known[0];
    if (known[1]) text.textContent = known[1];
  }
})();
