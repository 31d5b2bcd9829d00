// The code may come behind the # of the address (from the square in the terminal); it is sent as a form and taken out of the address.
"use strict";
const code = decodeURIComponent(location.hash.slice(1));
if (code) {
  history.replaceState(null, "", "/enter");
  const field = document.getElementById("code");
  field.value = code;
  field.form.requestSubmit();
}
