// A form is not sent while the desk can't be reached: the browser's own page would take the place of what was typed.
// Nothing depends on it.
(() => {
  "use strict";
  const words = document.getElementById("no-line");
  const icon = document.querySelector("link[rel=icon]").href;
  // Who was heard within so many milliseconds is there: most forms are sent without asking.
  const FRESH = 10000;
  // So long the desk is waited for; a slow line once more, and longer.
  const SOON = 3000, PATIENT = 30000;
  let heard = Date.now();
  let patience = SOON;
  let told = null;
  let asking = false;
  let passing = false;
  document.addEventListener("htmx:sendError", () => { heard = -Infinity; });
  // A desk that answers, with whatever, is there.
  document.addEventListener("htmx:afterRequest", (event) => { if (event.detail.xhr.status) heard = Date.now(); });
  // A page that was gone back to is as old as it is.
  window.addEventListener("pageshow", (event) => { if (event.persisted) heard = -Infinity; });

  // Before all other listeners: what they do on sending is not to be done.
  window.addEventListener("submit", (event) => {
    const [form, button] = [event.target, event.submitter];
    if (passing || form.method === "dialog" || (navigator.onLine && (Date.now() - heard < FRESH || (isFinite(heard) && gets(form, button))))) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (asking) return;
    asking = true;
    // A desk on this very machine answers without any line. What stands before one that is away says so by its number.
    fetch(icon, { method: "HEAD", cache: "no-store", signal: AbortSignal.timeout(patience) })
      .then((answer) => { if (answer.status > 501) throw new Error("nobody behind it"); })
      .then(() => send(form, button), (error) => tell(button || form.lastElementChild, error.name === "TimeoutError"))
      .finally(() => { asking = false; });
  }, true);

  // Of what is only looked for nothing is lost.
  function gets(form, button) {
    return ((button && button.getAttribute("formmethod")) || form.method) === "get";
  }

  function send(form, button) {
    heard = Date.now();
    patience = SOON;
    if (told) told.remove();
    passing = true;
    try { form.requestSubmit(button); } finally { passing = false; }
  }

  function tell(beside, slow) {
    patience = slow ? PATIENT : SOON;
    if (told) told.remove();
    told = words.content.firstElementChild.cloneNode(true);
    beside.parentElement.append(told);
    told.scrollIntoView({ block: "nearest" });
  }
})();
