// A form is sent only when the server answers; when it does not, what was typed stays where it is.
"use strict";
const told = document.getElementById("told");
document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (form.method !== "post") return;
  event.preventDefault();
  const button = event.submitter;
  try {
    await fetch("/static/style.css", { method: "HEAD", cache: "no-store" });
  } catch {
    told.textContent = "The server does not answer. What you typed is still here: start gudgeon serve again, then press the button again.";
    return;
  }
  if (button && button.hasAttribute("formaction")) form.action = button.formAction;
  form.submit();
});
