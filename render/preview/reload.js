// Loads the page again when the pages were written anew. The browser keeps the
// place on the page, and connects again by itself when the server comes back.
(function () {
  "use strict";
  if (!window.EventSource) { return; }
  var lost = false;
  var changes = new EventSource("/.rakelight/changes");
  changes.addEventListener("changed", function () { window.location.reload(); });
  changes.addEventListener("error", function () { lost = true; });
  changes.addEventListener("open", function () {
    if (lost) { window.location.reload(); }
  });
})();
