// A file is sent as it is, with progress; then the server reads it, and this page asks how far it is.
"use strict";
const form = document.getElementById("bring");
const file = document.getElementById("file");
const job = document.getElementById("job");
const sent = document.getElementById("sent");
const told = document.getElementById("told");
const readings = document.getElementById("readings");

function send(what) {
  const request = new XMLHttpRequest();
  request.open("POST", "/bring/file?" + new URLSearchParams({ name: what.name, job: job.value }));
  request.setRequestHeader("Accept", "application/json");
  request.upload.onprogress = (event) => { sent.value = 100 * event.loaded / event.total; };
  request.onerror = () => { sent.hidden = true; told.textContent = "The server does not answer. Nothing was stored; bring the file again."; };
  request.onload = () => {
    sent.hidden = true;
    const got = JSON.parse(request.responseText || "{}");
    told.textContent = request.status === 202 ? what.name + " has come; it is being read." : [got.happened, got.kept, got.next_step].filter(Boolean).join(" ");
    ask();
  };
  sent.hidden = false;
  sent.value = 0;
  told.textContent = "Sending " + what.name;
  request.send(what);
}

function line(reading) {
  const item = document.createElement("li");
  item.append(reading.name + ": " + reading.state + (reading.state === "reading" && reading.reached ? ", " + reading.reached + " so far" : "") + ". " + reading.said + " ");
  if (reading.session) {
    const link = document.createElement("a");
    link.href = "/session/" + reading.session;
    link.textContent = "Open session " + reading.session;
    item.append(link);
  }
  if (reading.state === "waiting" || reading.state === "reading") {
    const button = document.createElement("button");
    button.className = "quiet";
    button.textContent = "Stop " + reading.name;
    button.disabled = reading.stop;
    button.addEventListener("click", async () => { button.disabled = true; await fetch("/bring/" + reading.number + "/stop", { method: "POST" }); ask(); });
    item.append(button);
  }
  return item;
}

let shown = "";
async function ask() {
  try {
    const text = await (await fetch("/bring/state.json")).text();
    if (text !== shown && JSON.parse(text).readings.length) readings.replaceChildren(...JSON.parse(text).readings.map(line));
    shown = text;
  } catch {
    told.textContent = "The server does not answer. What was read so far is kept.";
  }
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  if (file.files.length) send(file.files[0]); else told.textContent = "Choose a file first.";
});
for (const kind of ["dragover", "drop"]) form.addEventListener(kind, (event) => event.preventDefault());
form.addEventListener("drop", (event) => { if (event.dataTransfer.files.length) send(event.dataTransfer.files[0]); });
setInterval(ask, 1000);
ask();
