// Keys and buttons of the session page: j and k move, u goes to the next note to listen to, space plays the one in focus.
"use strict";
const player = document.getElementById("player");
const notes = [...document.querySelectorAll("section.note")];
let at = -1;

function go(to) {
  if (to < 0 || to >= notes.length) return;
  at = to;
  notes[at].focus();
  notes[at].scrollIntoView({ block: "center" });
}

function hear(note) {
  if (!player || !note || !note.dataset.sound) return;
  player.src = note.dataset.sound;
  player.play();
}

notes.forEach((note, index) => {
  note.addEventListener("focusin", () => { at = index; });
  const button = note.querySelector("button.hear");
  if (button) button.addEventListener("click", () => { at = index; hear(note); });
});

document.querySelectorAll("svg.wave rect").forEach((box) => {
  box.addEventListener("click", () => { go(Number(box.dataset.note)); hear(notes[at]); });
});

document.addEventListener("keydown", (event) => {
  if (event.target.closest("input, textarea, select, button") || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "j") go(at + 1);
  else if (event.key === "k") go(at - 1);
  else if (event.key === "u") {
    const later = notes.findIndex((note, index) => index > at && note.classList.contains("unsure"));
    go(later >= 0 ? later : notes.findIndex((note) => note.classList.contains("unsure")));
  } else if (event.key === " " && at >= 0) { event.preventDefault(); hear(notes[at]); }
});
