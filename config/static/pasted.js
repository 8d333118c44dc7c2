// The page of a message that was read: the counter's keys, and nothing typed is left behind unawares.
(() => {
  "use strict";
  const form = document.getElementById("pasted");
  const BOXES = "input:not([type=hidden], [type=checkbox]), select";
  let typed = false;

  document.addEventListener("keydown", (event) => {
    const { key, ctrlKey, metaKey, shiftKey, target } = event;
    if (key.toLowerCase() === "s" && (ctrlKey || metaKey) && !shiftKey) form.querySelector("[value=make]").click();
    else if (key === "Enter" && target.form === form && target.matches(BOXES)) {
      const boxes = [...form.querySelectorAll(BOXES)].filter((box) => box.offsetParent !== null);
      const next = boxes[boxes.indexOf(target) + (shiftKey ? -1 : 1)];
      if (next) next.focus();
      if (next && next.select) next.select();
    } else return;
    event.preventDefault();
  });

  form.addEventListener("input", () => { typed = true; });
  form.addEventListener("submit", () => { typed = false; });
  window.addEventListener("beforeunload", (event) => { if (typed) event.preventDefault(); });

  // Only the opening being typed in is sent for its answer, not the whole message.
  document.addEventListener("htmx:configRequest", (event) => {
    const { elt, parameters } = event.detail;
    for (const name of Object.keys(parameters))
      if (!name.startsWith(`${elt.id}-`) && name !== "csrfmiddlewaretoken") delete parameters[name];
  });

  document.addEventListener("htmx:afterRequest", (event) => {
    if (!event.detail.successful && !event.detail.xhr.getResponseHeader("Retry-After"))
      document.getElementById("saved").textContent = "No answer from the desk: check the line. What you typed is still here.";
  });
})();
