// The session page. Keys move along the notes and open their forms; a form is sent without a reload, and the notes come back as they stand then.
"use strict";
const player = document.getElementById("player");
const list = document.getElementById("rows");
const told = document.getElementById("told");
let at = -1;

const notes = () => [...document.querySelectorAll("section.note")];
const tell = (text) => { if (told) told.textContent = text; };

function go(to) {
  const all = notes();
  if (to < 0 || to >= all.length) return;
  at = to;
  all[at].focus({ preventScroll: true });
  all[at].scrollIntoView({ block: "center" });
}

function hear(note) {
  if (!player || !note || !note.dataset.sound) return tell("There is no sound of this note.");
  player.src = note.dataset.sound;
  player.play().catch(() => tell("The sound of this note could not be played."));
}

function open(note, kind) {
  const details = note && note.querySelector(kind);
  if (!details) return tell("There is nothing of that kind beside this note.");
  details.open = true;
  const field = details.querySelector("textarea, input:not([type=hidden])");
  field.focus();
  if (field.select) field.select();
}

async function send(form, button) {
  const body = new URLSearchParams(new FormData(form));
  if (button && button.name) body.set(button.name, button.value);
  let answer, got;
  try {
    answer = await fetch(form.action, { method: "POST", body, headers: { Accept: "application/json" } });
    got = await answer.json();
  } catch {
    return tell("The server does not answer. What you typed is still here: start gudgeon serve again, then save again.");
  }
  if (!answer.ok) return tell([got.happened, got.kept, got.next_step].filter(Boolean).join(" "));
  const where = at;
  list.innerHTML = got.rows;
  document.getElementById("counts").innerHTML = got.counts;
  go(where);
  tell(got.told);
}

document.addEventListener("submit", (event) => {
  if (!event.target.closest("#rows")) return;
  event.preventDefault();
  at = notes().indexOf(event.target.closest("section.note"));
  send(event.target, event.submitter);
});

document.addEventListener("focusin", (event) => {
  const note = event.target.closest("section.note");
  if (note) at = notes().indexOf(note);
});

document.addEventListener("click", (event) => {
  const box = event.target.closest("svg.wave rect");
  if (box) { go(Number(box.dataset.note)); hear(notes()[at]); }
  const button = event.target.closest("button.hear");
  if (button) { at = notes().indexOf(button.closest("section.note")); hear(notes()[at]); }
  const reading = event.target.closest("button.reading");
  if (reading) reading.closest("form").querySelector("textarea").value = reading.dataset.text;
});

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "Escape") {
    const details = event.target.closest("details[open]");
    if (details) { details.open = false; details.querySelector("summary").focus(); }
    return;
  }
  if (event.target.closest("input, textarea, select, button, summary, a") && (event.key === " " || event.target.closest("input, textarea, select"))) return;
  const all = notes();
  if (event.key === "j") go(at + 1);
  else if (event.key === "k") go(at - 1);
  else if (event.key === "u") {
    const later = all.findIndex((note, index) => index > at && note.classList.contains("unsure"));
    go(later >= 0 ? later : all.findIndex((note) => note.classList.contains("unsure")));
  } else if (event.key === " " && at >= 0) { event.preventDefault(); hear(all[at]); }
  else if (event.key === "e") { event.preventDefault(); open(all[at], ".beside details.mend"); }
  else if (event.key === "w") { event.preventDefault(); open(all[at], "details.words"); }
  else if (event.key === "z" && all[at]) {
    const undo = all[at].querySelector("button.undo");
    if (undo) undo.click(); else tell("There is no change to take back in this note.");
  }
});
