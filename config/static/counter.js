// The counter's keys and the few things a page cannot do by itself. Without it every button still works.
(() => {
  "use strict";
  const form = document.getElementById("counter");
  const autosave = document.getElementById("autosave");
  const BOXES = "input:not([type=hidden], [type=checkbox]), select, textarea";
  const shown = (box) => box.offsetParent !== null && !box.disabled;

  function step(from, by) {
    const boxes = [...form.querySelectorAll(BOXES)].filter(shown);
    const next = boxes[boxes.indexOf(from) + by];
    if (!next) return;
    next.focus();
    if (next.select) next.select();
  }

  function toOpening(by) {
    const sheets = [...form.querySelectorAll(".opening")];
    const at = sheets.indexOf(document.activeElement.closest(".opening"));
    const sheet = sheets[Math.min(Math.max(at + by, 0), sheets.length - 1)];
    const box = sheet && sheet.querySelector("[data-box]");
    if (box) box.focus();
  }

  // To the box that the desk asks for; where the answer to what was typed last is on its way, as soon as it is here.
  const unanswered = new WeakMap();
  let hurried = null;
  function toAsked(sheet) {
    if (!sheet) return;
    hurried = unanswered.has(sheet) ? sheet : null;
    const said = sheet.querySelector("[data-asks]");
    const box = !hurried && said && document.getElementById(said.dataset.asks);
    if (!box) return;
    box.focus();
    if (box.select) box.select();
  }
  const sheetOf = (element) => element.closest && element.closest(".opening");
  form.addEventListener("input", (event) => { if (sheetOf(event.target)) unanswered.set(sheetOf(event.target), "typed"); });
  document.addEventListener("htmx:beforeRequest", ({ detail }) => { if (unanswered.has(detail.elt)) unanswered.set(detail.elt, "sent"); });
  document.addEventListener("htmx:afterSettle", (event) => {
    const sheet = sheetOf(event.target);
    if (!sheet || unanswered.get(sheet) !== "sent") return;
    unanswered.delete(sheet);
    if (hurried === sheet) toAsked(sheet);
  });

  const press = (name) => form.querySelector(`.bar [name=do][value=${name}]`).click();

  document.addEventListener("keydown", (event) => {
    const { key, ctrlKey, metaKey, altKey, shiftKey, target } = event;
    if (document.querySelector("dialog[open]")) return;
    const box = target.closest("#counter") && target.matches(BOXES);
    const ctrl = ctrlKey || metaKey;
    if (!["Alt", "Enter"].includes(key)) hurried = null;
    if (key === "Enter" && ctrl && shiftKey) return;  // the page's own way on, see desk.js
    if (key === "Enter" && ctrl) press("add");
    else if (key === "Enter" && altKey) toAsked(sheetOf(target) || form.querySelector(".opening"));
    else if (key.toLowerCase() === "s" && ctrl && !shiftKey) press("save");
    else if (altKey && (key === "ArrowDown" || key === "ArrowUp")) toOpening(key === "ArrowDown" ? 1 : -1);
    else if (key === "Enter" && box && (target.tagName !== "TEXTAREA" || !target.value)) step(target, shiftKey ? -1 : 1);
    else return;
    event.preventDefault();
  });

  // One weight for all the openings below that have none: sashes of one house mostly weigh alike. A bare number
  // is in its family's unit, so it goes to families of that unit only.
  form.classList.add("scripted");
  form.addEventListener("click", (event) => {
    const button = event.target.closest("[data-below]");
    if (!button) return;
    const [text, from] = [weightBox(button).value, button.closest(".opening")];
    for (const other of form.querySelectorAll(`[data-below="${button.dataset.below}"]`)) {
      const box = weightBox(other);
      const below = from.compareDocumentPosition(other) & Node.DOCUMENT_POSITION_FOLLOWING && !from.contains(other);
      if (!below || box.value.trim() || other.closest(".measure").querySelector(".cannot :checked")) continue;
      box.value = text;
      box.dispatchEvent(new Event("input", { bubbles: true }));
    }
  });
  const weightBox = (button) => button.closest(".measure").querySelector("[data-box]");

  // A family just chosen brings its whole sheet; an answer on the way must not overtake it.
  form.addEventListener("input", (event) => {
    if (event.target.hasAttribute("hx-post")) event.stopPropagation();
  }, true);

  // What was typed while the new sheet was on its way stands in the old one: it goes over to the new.
  document.addEventListener("htmx:afterSwap", (event) => {
    const { requestConfig } = event.detail;
    const old = requestConfig && requestConfig.elt.matches("select[hx-post]") && requestConfig.elt.closest(".opening");
    const sheet = old && document.getElementById(old.id);
    if (!sheet || sheet === old) return;
    const late = [...old.querySelectorAll("[name]")].filter((box) => carry(box, sheet));
    if (late.length) sheet.querySelector("input").dispatchEvent(new Event("input", { bubbles: true }));
  });

  // Whether the box held anything newer than its twin in the new sheet does; now the twin holds it too.
  function carry(box, sheet) {
    let twin = sheet.querySelector(`[name="${box.name}"]`);
    if (box.type === "checkbox") {
      if (!twin || twin.checked === box.checked) return false;
      twin.checked = box.checked;
      return true;
    }
    if (box.matches("select[hx-post], [name=openings], button") || (twin ? twin.value === box.value : !box.value)) return false;
    if (!twin && box.matches("[data-box]")) {
      // No box of this family: kept on the page in case the family changes back.
      twin = Object.assign(document.createElement("input"), { type: "hidden", name: box.name });
      sheet.append(twin);
    }
    if (!twin || (twin.tagName === "SELECT" && ![...twin.options].some((one) => one.value === box.value))) return false;
    twin.value = box.value;
    if (twin === document.activeElement && twin.select) twin.setSelectionRange(box.selectionStart, box.selectionEnd);
    return true;
  }

  // Only the opening being typed in is sent for its answer, not the whole request.
  document.addEventListener("htmx:configRequest", (event) => {
    const { elt, parameters, path } = event.detail;
    const sheet = elt.closest("[data-only]");
    if (!sheet || !path.includes("?o=")) return;
    for (const name of Object.keys(parameters))
      if (!name.startsWith(sheet.dataset.only) && !["csrfmiddlewaretoken", "needed_by"].includes(name)) delete parameters[name];
  });

  // A box is marked as wrong by the words beside it, which the answer brings.
  document.addEventListener("htmx:afterSettle", () => {
    for (const words of form.querySelectorAll(".error-text[id]")) {
      const box = document.getElementById(words.id.replace(/_error$/, ""));
      if (!box) continue;
      if (words.textContent.trim()) box.setAttribute("aria-invalid", "true");
      else box.removeAttribute("aria-invalid");
    }
  });

  // A screen reader is told anew only of what is new: each save brings whose call it may be.
  document.addEventListener("htmx:oobBeforeSwap", (event) => {
    const { target, fragment } = event.detail;
    if (target.id === "whose-spoken" && target.textContent === fragment.textContent) event.detail.shouldSwap = false;
  });

  // Saving by key waits for a save that is under way, or it would meet its own earlier version.
  let saving = false;
  let waiting = null;
  let typed = false;
  for (const kind of ["input", "change"]) form.addEventListener(kind, () => { typed = true; });
  form.addEventListener("submit", (event) => {
    if (!saving) { typed = false; return; }
    event.preventDefault();
    waiting = event.submitter;
  });
  document.addEventListener("htmx:beforeRequest", (event) => {
    if (event.detail.elt !== autosave) return;
    if (autosave.hasAttribute("data-paused")) event.preventDefault();
    else saving = true;
  });
  document.addEventListener("htmx:afterRequest", (event) => {
    const { elt, successful, xhr } = event.detail;
    if (elt !== autosave) return;
    saving = false;
    if (!successful) say("Not saved: no answer from the desk. What you typed is still here; press Save to try again.");
    else if (xhr.status === 200 && !xhr.responseText.includes("Not saved")) typed = false;
    const place = xhr.getResponseHeader("HX-Replace-Url");
    if (place) {
      form.action = place;
      autosave.setAttribute("hx-post", place);
      htmx.process(autosave);
    }
    if (waiting) { const button = waiting; waiting = null; setTimeout(() => button.click(), 0); }
  });
  // An answer given up for a newer one is no failure, so only these two are.
  for (const kind of ["htmx:sendError", "htmx:responseError"])
    document.addEventListener(kind, (event) => {
      // What the desk itself says of it, desk.js shows.
      if (event.detail.elt !== autosave && !event.detail.xhr.getResponseHeader("Retry-After")) say("No answer from the desk: check the line. What you typed is still here.");
    });
  window.addEventListener("beforeunload", (event) => { if (typed && !waiting) event.preventDefault(); });

  function say(words) {
    const place = document.getElementById("saved");
    if (place) place.replaceChildren(Object.assign(document.createElement("strong"), { textContent: words }));
  }
})();
