// Loads the page again when the pages were written anew. The browser keeps the
// place on the page, and connects again by itself when the server comes back. A page
// that is left lets go of its connection: a browser has few of them, and keeps pages
// that are gone back to. The page beside the mat, which only a served diary has, is
// linked first.
(function () {
  "use strict";
  var pages = document.querySelector(".rail-pages");
  if (pages) {
    var item = document.createElement("li");
    var link = document.createElement("a");
    link.href = "/bench/";
    link.textContent = "Beside the mat";
    item.appendChild(link);
    pages.prepend(item);
  }
  if (!window.EventSource) { return; }
  var changes = null;
  function listen() {
    var lost = false;
    changes = new EventSource("/.rakelight/changes");
    changes.addEventListener("changed", function () { window.location.reload(); });
    changes.addEventListener("error", function () { lost = true; });
    changes.addEventListener("open", function () {
      if (lost) { window.location.reload(); }
    });
  }
  listen();
  window.addEventListener("pagehide", function () { changes.close(); });
  window.addEventListener("pageshow", function (event) {
    if (event.persisted) { window.location.reload(); } // it may have changed meanwhile
  });
})();
