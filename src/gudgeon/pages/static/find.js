// Search as you type: the server sends the list of hits; only the answer to the newest question is shown.
"use strict";
const field = document.getElementById("q");
const hits = document.getElementById("hits");
let asked = 0;
let waiting;

field.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(async () => {
    const mine = ++asked;
    const answer = await fetch("/find.json?q=" + encodeURIComponent(field.value));
    if (!answer.ok || mine !== asked) return;
    hits.innerHTML = (await answer.json()).html;
  }, 120);
});
