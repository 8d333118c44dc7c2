// For every page: the list of keys on "?", and focus on what was done or needs mending. Nothing depends on it.
(() => {
  "use strict";
  const keys = document.getElementById("keys");
  // Where the cursor stands once something was sent: on what needs mending, else on what was done, else on the page's
  // heading, unless the page or its address leads to a box. From there Tab goes on, and a screen reader reads.
  let sent = null;
  try { sent = sessionStorage.getItem("sent"); sessionStorage.removeItem("sent"); } catch { /* a forbidden store */ }
  const trouble = document.getElementById("conflict") || document.querySelector("main .summary");
  const stand = trouble || (!location.hash && !document.querySelector("[autofocus]") &&
    (document.querySelector(".messages") || (sent && document.querySelector("main h1"))));
  if (stand) {
    stand.tabIndex = -1;
    stand.focus();
  }
  document.addEventListener("submit", (event) => {
    if (event.target.method !== "post" || event.defaultPrevented) return;
    try { sessionStorage.setItem("sent", "yes"); } catch { /* a full or forbidden store: the top of the page must do */ }
  });

  // What was asked for by itself could not be done: told in the desk's words, and what was typed stays.
  document.addEventListener("htmx:afterRequest", (event) => {
    const { xhr, successful } = event.detail;
    const told = document.getElementById("trouble");
    if (successful && told) told.remove();
    if (successful || !(xhr.getResponseHeader("Content-Type") || "").startsWith("text/plain")) return;
    const saved = document.getElementById("saved");
    if (saved) { saved.replaceChildren(Object.assign(document.createElement("strong"), { textContent: xhr.responseText })); return; }
    if (told && told.textContent === xhr.responseText) return;
    const words = told || Object.assign(document.createElement("p"), { id: "trouble", className: "notice stop" });
    words.setAttribute("role", "alert");
    if (!told) document.getElementById("content").prepend(words);
    words.textContent = xhr.responseText;
  });

  // The menu of pages shuts on Escape and when something else is pressed.
  const menu = document.querySelector(".menu");
  const shut = (event) => {
    if (!menu || !menu.open) return;
    if (event.key === "Escape") menu.querySelector("summary").focus();
    else if (event.type === "keydown" || menu.contains(event.target)) return;
    menu.open = false;
  };
  for (const kind of ["keydown", "click"]) document.addEventListener(kind, shut);

  // One key for the way on: the step of the form in which something was typed, else the one that the page marks.
  let typedIn = null;
  document.addEventListener("input", (event) => { typedIn = event.target.form; });
  const inForm = (form) => form && form.isConnected && form.method === "post" &&
    (form.querySelector("button[data-onward]") || form.querySelector("button:not([type=button], .unseen)"));
  const step = () => {
    const box = document.activeElement.closest("input, select, textarea");
    return inForm(box && box.form) || inForm(typedIn) || document.querySelector("[data-onward]");
  };
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.shiftKey || !(event.ctrlKey || event.metaKey) || (keys && keys.open)) return;
    const onward = step();
    if (!onward) return;
    event.preventDefault();
    onward.click();
  });
  if (!keys) return;

  for (const button of document.querySelectorAll("[data-shows=keys]")) {
    button.hidden = false;
    button.addEventListener("click", show);
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
    show();
  });

  // The access keys that the page has at this moment, each with the words of what it leads to or does.
  function show() {
    const rows = new Map();
    for (const one of document.querySelectorAll("[accesskey]"))
      if (one.offsetParent) rows.set(one.accessKey.toUpperCase(), (one.labels && one.labels[0] || one).textContent.trim());
    const list = document.getElementById("access-keys");
    list.replaceChildren(...[...rows].map(([key, words]) => {
      const row = document.createElement("div");
      const [term, says] = [document.createElement("dt"), document.createElement("dd")];
      term.append(Object.assign(document.createElement("kbd"), { textContent: key }));
      says.textContent = words;
      row.append(term, says);
      return row;
    }));
    const way = document.getElementById("onward-key");
    const onward = step();
    way.hidden = !onward;
    if (onward) way.querySelector("dd").textContent = onward.textContent.trim();
    keys.showModal();
  }
})();
