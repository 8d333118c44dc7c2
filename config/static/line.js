// A form is not sent while the desk can't be reached: the browser's own page would take the place of what was typed.
// Nothing depends on it.
(() => {
  "use strict";
  const words = document.getElementById("no-line");
  const icon = document.querySelector("link[rel=icon]").href;
  let told = null;
  let passing = false;
  // Something that the page asked for by itself found nobody; a desk that answers, with whatever, is there.
  let unanswered = false;
  document.addEventListener("htmx:sendError", () => { unanswered = true; });
  document.addEventListener("htmx:afterRequest", (event) => { if (event.detail.xhr.status) unanswered = false; });

  // Before all other listeners: what they do on sending is not to be done.
  window.addEventListener("submit", (event) => {
    const [form, button] = [event.target, event.submitter];
    if (passing || form.method === "dialog" || (navigator.onLine && !unanswered)) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    // A desk on this very machine answers without any line.
    fetch(icon, { method: "HEAD", cache: "no-store" }).then(() => send(form, button), () => tell(button || form.lastElementChild));
  }, true);

  function send(form, button) {
    unanswered = false;
    if (told) told.remove();
    passing = true;
    try { form.requestSubmit(button); } finally { passing = false; }
  }

  function tell(beside) {
    if (told) told.remove();
    told = words.content.firstElementChild.cloneNode(true);
    beside.parentElement.append(told);
    told.scrollIntoView({ block: "nearest" });
  }
})();
