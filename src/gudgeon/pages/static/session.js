// The session page. Keys move along the notes, play them and open their forms; a form is sent without a reload, and the notes come back as they
// stand then.
"use strict";
const player = document.getElementById("player");
const list = document.getElementById("rows");
const told = document.getElementById("told");
const wave = document.getElementById("wave");
const cursor = document.getElementById("cursor");
const only = document.getElementById("only");
const hush = document.getElementById("hush");
const progress = document.getElementById("progress");
let at = -1;
let playing = null; // the id of the note that is heard

const notes = () => [...document.querySelectorAll("section.note")];
const tell = (text) => { if (told) told.textContent = text; };
const unasked = (note) => list.classList.contains("only") && !note.classList.contains("unsure");
const hushed = (note) => list.classList.contains("hush") && note.classList.contains("talk");
const hidden = (note) => unasked(note) || hushed(note);

function go(to) {
  const all = notes();
  if (to < 0 || to >= all.length) return;
  at = to;
  if (unasked(all[at])) showOnly(false);
  if (hushed(all[at])) hideTalk(false);
  all[at].focus({ preventScroll: true });
  all[at].scrollIntoView({ block: "center" });
}

function turnTo(position) {
  location.href = "?begin=" + position + "#n" + position;
}

function step(by) {
  const all = notes();
  let to = at + by;
  while (to >= 0 && to < all.length && hidden(all[to])) to += by;
  const beyond = Number(list.dataset.begin) + (by > 0 ? Number(list.dataset.size) : -1);
  if (to >= all.length && all.length === Number(list.dataset.size) && document.querySelector("nav.more a[aria-current] + a")) return turnTo(beyond);
  if (to < 0 && at === 0 && beyond >= 0) return turnTo(beyond);
  go(to);
}

const begins = (note) => Number(note.dataset.start); // of its stretch of sound, in the session

function hear(note, from) {
  if (!player || !note || !note.dataset.sound) return tell("There is no sound of this note.");
  if (playing === note.id && !player.paused && from === undefined) return player.pause();
  playing = note.id;
  player.src = note.dataset.sound;
  if (from !== undefined) player.currentTime = Math.max(from - begins(note), 0);
  player.play().catch((error) => { if (error.name !== "AbortError") tell("The sound of this note could not be played. Its words are kept."); });
}

function mark() {
  const on = !player.paused && !player.ended;
  for (const note of notes()) {
    const button = note.querySelector("button.hear");
    const here = on && note.id === playing;
    note.classList.toggle("playing", here);
    if (!button) continue;
    button.querySelector("span").textContent = here ? "■" : "▸";
    button.lastChild.textContent = here ? " Stop" : " Hear";
  }
  if (on) requestAnimationFrame(draw); else if (cursor) cursor.setAttribute("d", "");
}

function draw() {
  const note = document.getElementById(playing);
  if (!cursor || !note || player.paused) return;
  const x = wave.viewBox.baseVal.width * (begins(note) + player.currentTime) / Number(wave.dataset.seconds);
  cursor.setAttribute("d", "M" + x.toFixed(1) + " 0V100");
  requestAnimationFrame(draw);
}

function listenAt(event) {
  const edges = wave.getBoundingClientRect();
  const share = (event.clientX - edges.left) / edges.width;
  const boxes = [...wave.querySelectorAll("rect")];
  // the note that was said there, or last before: the drawn sound lies over the boxes, and some of them are notes of another page
  const box = boxes.filter((one) => one.x.baseVal.value <= share * wave.viewBox.baseVal.width).pop() || boxes[0];
  if (!box) return;
  const note = document.getElementById("n" + box.dataset.note);
  if (!note) return turnTo(box.dataset.note);
  go(notes().indexOf(note));
  hear(note, Number(wave.dataset.seconds) * share);
}

function showOnly(on) {
  if (!only) return tell("There is no note to listen to first.");
  list.classList.toggle("only", on);
  only.setAttribute("aria-pressed", String(on));
  if (on && (at < 0 || hidden(notes()[at]))) go(notes().findIndex((note) => note.classList.contains("unsure")));
}

// Whether notes that came to nothing are hidden is remembered for all sessions, in this browser.
function hideTalk(on) {
  if (!hush) return tell("Every note here is in an entry or is an open item.");
  list.classList.toggle("hush", on);
  hush.setAttribute("aria-pressed", String(on));
  try { localStorage.setItem("hush", on ? "yes" : ""); } catch { /* then it is forgotten */ }
}

function open(note, kind) {
  const details = note && note.querySelector(kind);
  if (!details) return tell("There is nothing of that kind beside this note.");
  details.open = true;
  const field = details.querySelector("textarea, input:not([type=hidden])");
  field.focus();
  if (field.select) field.select();
}

async function askProgress() {
  if (!progress) return;
  try {
    const got = await (await fetch("/progress.json?" + new URLSearchParams({ job: progress.dataset.job }))).json();
    progress.textContent = got.total ? got.done + " of " + got.total + " rows of the spec sheet are done." : "";
  } catch {
    progress.textContent = "";
  }
}

async function send(form, button) {
  const body = new URLSearchParams(new FormData(form));
  if (button && button.name) body.set(button.name, button.value);
  body.set("begin", list.dataset.begin);
  let answer, got;
  tell("Saving …");
  try {
    answer = await fetch(form.action, { method: "POST", body, headers: { Accept: "application/json" } });
    got = await answer.json();
  } catch {
    return tell("The server does not answer. What you typed is still here: start gudgeon serve again, then save again.");
  }
  if (!answer.ok) return tell([got.happened, got.kept, got.next_step].filter(Boolean).join(" "));
  const where = at;
  const typed = unsaved(form);
  list.innerHTML = got.rows;
  document.getElementById("counts").innerHTML = got.counts;
  putBack(typed);
  go(where);
  tell(got.told);
  askProgress();
}

async function sendPicture(field) {
  const note = field.closest("section.note");
  let answer, got;
  tell("Sending " + field.files[0].name);
  try {
    answer = await fetch(field.dataset.to + "?" + new URLSearchParams({ name: field.files[0].name, begin: list.dataset.begin }), { method: "POST", body: field.files[0], headers: { Accept: "application/json" } });
    got = await answer.json();
  } catch {
    return tell("The server does not answer. The picture was not kept; choose it again.");
  }
  if (!answer.ok) return tell([got.happened, got.kept, got.next_step].filter(Boolean).join(" "));
  at = notes().indexOf(note);
  const typed = unsaved(null);
  list.innerHTML = got.rows;
  putBack(typed);
  go(at);
  tell(got.told);
}

// What stands typed in other open forms is carried over when the notes are drawn anew.
function unsaved(sent) {
  return [...list.querySelectorAll("details[open] form")].filter((form) => form !== sent).map((form) => ({
    action: form.getAttribute("action"),
    fields: [...form.elements].filter((field) => field.name && field.type !== "hidden" && field.value !== field.defaultValue).map((field) => [field.name, field.value]),
  }));
}

function putBack(typed) {
  for (const label of list.querySelectorAll(".pic")) label.hidden = false;
  for (const { action, fields } of typed) {
    const form = [...list.querySelectorAll("details form")].find((one) => one.getAttribute("action") === action);
    if (!form || !fields.length) continue;
    form.closest("details").open = true;
    for (const [name, value] of fields) if (form.elements[name]) form.elements[name].value = value;
  }
}

document.addEventListener("submit", (event) => {
  if (!event.target.closest("#rows")) return;
  event.preventDefault();
  at = notes().indexOf(event.target.closest("section.note"));
  send(event.target, event.submitter);
});

document.addEventListener("change", (event) => {
  if (event.target.matches(".pic input") && event.target.files.length) sendPicture(event.target);
});

document.addEventListener("focusin", (event) => {
  const note = event.target.closest("section.note");
  if (note) at = notes().indexOf(note);
});

document.addEventListener("click", (event) => {
  if (event.target.closest("#wave")) listenAt(event);
  if (event.target.closest("#hush")) hideTalk(!list.classList.contains("hush"));
  if (event.target.closest("#only")) showOnly(!list.classList.contains("only"));
  const button = event.target.closest("button.hear");
  if (button) { at = notes().indexOf(button.closest("section.note")); hear(notes()[at]); }
  const reading = event.target.closest("button.reading");
  if (reading) reading.closest("form").querySelector("textarea").value = reading.dataset.text;
});

const KEYS = {
  j: () => step(1),
  k: () => step(-1),
  u: (all) => {
    const later = all.findIndex((note, index) => index > at && note.classList.contains("unsure"));
    go(later >= 0 ? later : all.findIndex((note) => note.classList.contains("unsure")));
  },
  o: () => showOnly(!list.classList.contains("only")),
  h: () => hideTalk(!list.classList.contains("hush")),
  " ": (all) => hear(all[at]),
  ArrowLeft: () => { player.currentTime = Math.max(player.currentTime - 1, 0); },
  ArrowRight: () => { player.currentTime = Math.min(player.currentTime + 1, player.duration || 0); },
  e: (all) => open(all[at], ".beside details.mend"),
  w: (all) => open(all[at], "details.words"),
  z: (all) => {
    const undo = all[at] && all[at].querySelector("button.undo");
    if (undo) undo.click(); else tell("There is no change to take back in this note.");
  },
};

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || !list) return;
  if (event.key === "Escape") {
    const details = event.target.closest("details[open]");
    if (details) { details.open = false; details.querySelector("summary").focus(); }
    return;
  }
  if (event.target.closest("input, textarea, select")) return;
  if (event.key === " " && (at < 0 || event.target.closest("button, summary, a"))) return;
  if (event.key.startsWith("Arrow") && !playing) return;
  const does = KEYS[event.key];
  if (!does) return;
  event.preventDefault();
  does(notes());
});

if (player) for (const kind of ["play", "pause", "ended"]) player.addEventListener(kind, mark);
if (only) only.hidden = false;
if (hush) {
  hush.hidden = false;
  try { if (localStorage.getItem("hush")) hideTalk(true); } catch { /* all are shown */ }
}
if (list) {
  putBack([]);
  const named = document.getElementById(location.hash.slice(1));
  if (named && list.contains(named)) go(notes().indexOf(named.closest("section.note")));
}

async function drawStrip() {
  const heights = document.getElementById("heights");
  if (!heights || !heights.dataset.from) return;
  try {
    heights.setAttribute("d", (await (await fetch(heights.dataset.from)).json()).path);
  } catch {
    heights.setAttribute("d", ""); // the boxes of the notes stay
  }
}

askProgress();
drawStrip();
