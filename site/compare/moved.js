// An address that was passed on: it goes on at once to where the two photos
// stand now. Without this script the page says so and links both.
(function () {
  "use strict";
  var two = document.getElementById("two");
  if (two) { window.location.replace(two.href); }
})();
