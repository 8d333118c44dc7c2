// For every page: the list of keys on "?", and focus on what needs mending. Nothing depends on it.
(() => {
  "use strict";
  const keys = document.getElementById("keys");
  const trouble = document.getElementById("conflict") || document.getElementById("summary");
  if (trouble) trouble.focus();

  // The menu of pages shuts on Escape and when something else is pressed.
  const menu = document.querySelector(".menu");
  const shut = (event) => {
    if (!menu || !menu.open) return;
    if (event.key === "Escape") menu.querySelector("summary").focus();
    else if (event.type === "keydown" || menu.contains(event.target)) return;
    menu.open = false;
  };
  for (const kind of ["keydown", "click"]) document.addEventListener(kind, shut);
  if (!keys) return;

  for (const button of document.querySelectorAll("[data-shows=keys]")) {
    button.hidden = false;
    button.addEventListener("click", () => keys.showModal());
  }
  // A single key can get in the way of speech input, so it can be turned off.
  const single = document.getElementById("single-key");
  single.checked = localStorage.getItem("single-key") !== "off";
  single.addEventListener("change", () => localStorage.setItem("single-key", single.checked ? "on" : "off"));

  document.addEventListener("keydown", (event) => {
    if (event.key !== "?" || !single.checked || keys.open || event.ctrlKey || event.altKey || event.metaKey) return;
    const box = event.target.closest("input, textarea, select");
    if (box && !box.matches("[data-box], [type=checkbox], select")) return;
    event.preventDefault();
    keys.showModal();
  });
})();
