// The square in the terminal holds the code behind the "#", which no browser sends.
"use strict";
const code = decodeURIComponent(location.hash.slice(1));
if (/^[0-9]{6}$/.test(code)) {
  document.getElementById("code").value = code;
  history.replaceState(null, "", location.pathname); // it is of no use to whoever looks later
  document.getElementById("name").focus();
}
