// Then and now: pick two prints of a row, and their comparison opens: a page of
// their own from the row's list of pairs, else the page for any two photos.
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
  function pairHref(row, first, second) {
    var a = first.dataset.build, b = second.dataset.build;
    var links = row.querySelectorAll("a[data-a]");
    for (var i = 0; i < links.length; i++) {
      var x = links[i].getAttribute("data-a"), y = links[i].getAttribute("data-b");
      if ((x === a && y === b) || (x === b && y === a)) { return links[i].href; }
    }
    return "compare.html#a=" + first.dataset.photo + "&b=" + second.dataset.photo;
  }

  picks.forEach(function (button) {
    button.hidden = false;
    button.addEventListener("click", function () {
      var row = button.closest("tr, [data-row]");
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
      if (!row.contains(first)) {
        hold(button);
        says.textContent = "Only prints of the same step compare. " + button.dataset.name + " is picked now; pick another of its row.";
        return;
      }
      window.location.href = pairHref(row, first, button);
    });
  });

  // Coming back by the browser's own way leaves nothing half picked.
  window.addEventListener("pageshow", function () { hold(null); says.textContent = ""; });
})();
