// A button that copies what stands in a field to be copied; without this file it can be selected by hand.
function addButtons() {
  document.querySelectorAll("textarea[data-copied]:not([data-ready])").forEach((field) => {
    const button = Object.assign(document.createElement("button"), { type: "button", className: "do plain", textContent: "Copy it" });
    button.addEventListener("click", async () => {
      field.focus();
      field.select();
      try {
        await navigator.clipboard.writeText(field.value);
        button.textContent = "Copied";
      } catch {
        button.textContent = "Selected: copy it now";
      }
    });
    field.dataset.ready = "yes";
    field.after(button);
  });
}

addButtons();
document.addEventListener("htmx:load", addButtons);
