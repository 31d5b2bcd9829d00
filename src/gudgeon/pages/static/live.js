// What the running session says, as it comes. The browser itself asks again when the connection is lost.
"use strict";
const rows = document.getElementById("rows");
const state = document.getElementById("state");
const source = new EventSource("/live/events");
source.onopen = () => { state.textContent = "Connected: new notes show by themselves."; };
source.onmessage = (event) => { rows.innerHTML = JSON.parse(event.data).html; };
source.onerror = () => { state.textContent = "The connection is lost; it is tried again by itself. What stands below may be old."; };
