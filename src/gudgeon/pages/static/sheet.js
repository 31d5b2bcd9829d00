// The text of a chosen file is put into the form, to be looked at before it is kept; nothing is sent until then.
"use strict";
const file = document.getElementById("file");
document.getElementById("chooser").hidden = false;
file.addEventListener("change", async () => {
  if (file.files.length) document.getElementById("text").value = await file.files[0].text();
});
