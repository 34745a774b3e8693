// Then and now: pick two prints of a row, and their comparison opens. The
// addresses are those of the row's own list of pairs.
(function () {
  "use strict";
  var help = document.getElementById("pick-help");
  var says = document.getElementById("pick-says");
  var picks = Array.prototype.slice.call(document.querySelectorAll("button.pick"));
  var first = null;
  if (!picks.length || !says) { return; }
  help.hidden = false;

  function hold(button) {
    if (first) { first.setAttribute("aria-pressed", "false"); }
    first = button;
    if (first) { first.setAttribute("aria-pressed", "true"); }
  }
  function pairHref(row, a, b) {
    var links = row.querySelectorAll("a[data-a]");
    for (var i = 0; i < links.length; i++) {
      var x = links[i].getAttribute("data-a"), y = links[i].getAttribute("data-b");
      if ((x === a && y === b) || (x === b && y === a)) { return links[i].href; }
    }
    return "";
  }

  picks.forEach(function (button) {
    button.hidden = false;
    button.addEventListener("click", function () {
      var row = button.closest("tr");
      if (button === first) {
        hold(null);
        says.textContent = "";
        return;
      }
      if (!first) {
        hold(button);
        says.textContent = button.dataset.name + " is picked. Pick another print of the same row.";
        return;
      }
      if (first.closest("tr") !== row) {
        hold(button);
        says.textContent = "Only prints of the same step compare. " + button.dataset.name + " is picked now; pick another of its row.";
        return;
      }
      var href = pairHref(row, first.dataset.build, button.dataset.build);
      if (href) { window.location.href = href; }
    });
  });

  // Coming back by the browser's own way leaves nothing half picked.
  window.addEventListener("pageshow", function () { hold(null); says.textContent = ""; });
})();
