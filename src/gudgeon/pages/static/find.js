// Search as you type: the server sends the list of hits; only the answer to the newest question is shown.
"use strict";
const field = document.getElementById("q");
const hits = document.getElementById("hits");
const told = document.getElementById("told");
let asked = 0;
let waiting;

field.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(async () => {
    const mine = ++asked;
    let got, ok;
    try {
      const answer = await fetch("/find.json?q=" + encodeURIComponent(field.value));
      ok = answer.ok;
      got = await answer.json();
    } catch {
      got = { happened: "The server does not answer.", next_step: "Start gudgeon serve again, then go on typing." };
      ok = false;
    }
    if (mine !== asked) return;
    if (ok) hits.innerHTML = got.html;
    told.textContent = ok ? "" : [got.happened, got.kept, got.next_step, "What stands here is of an earlier question."].filter(Boolean).join(" ");
  }, 120);
});
