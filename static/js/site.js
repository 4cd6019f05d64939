// Small helps for every page. Each page works without this file: the server's form token already sees to it that
// a form sent twice is stored once.

// A form in flight is not sent again; it comes free when the answer is there, or when one comes back to the page.
const inFlight = new WeakMap();
const PATIENCE_MS = 20000;

function hold(form) {
  const buttons = [...form.querySelectorAll("button, input[type=submit]")].filter((button) => !button.disabled);
  inFlight.set(form, setTimeout(() => release(form), PATIENCE_MS));
  // After this turn of the loop, so that the button's own name and value still go with the form.
  setTimeout(() => {
    if (inFlight.has(form)) buttons.forEach((button) => button.setAttribute("aria-disabled", "true"));
  }, 0);
}

function release(form) {
  clearTimeout(inFlight.get(form));
  inFlight.delete(form);
  form.querySelectorAll("[aria-disabled=true]").forEach((button) => button.removeAttribute("aria-disabled"));
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post") return;
  if (inFlight.has(form)) {
    event.preventDefault();
    event.stopImmediatePropagation();
    return;
  }
  hold(form);
}, true);

window.addEventListener("pageshow", () => document.querySelectorAll("form").forEach(release));

// What htmx could not fetch is said, not swallowed.
function say(sentence) {
  const item = Object.assign(document.createElement("li"), { className: "error", textContent: sentence });
  const list = Object.assign(document.createElement("ul"), { className: "messages" });
  list.append(item);
  document.getElementById("said")?.replaceChildren(list);
}

document.addEventListener("htmx:afterRequest", (event) => {
  const form = event.target.closest?.("form");
  if (form) release(form);
});
document.addEventListener("htmx:sendError", () =>
  say("The site could not be reached, and nothing was stored. Your words are still here: try again when you are connected."));
document.addEventListener("htmx:responseError", (event) =>
  say(`The site refused this (${event.detail.xhr.status}), and nothing was stored. Load the page again to see why.`));
