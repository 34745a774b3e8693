// What goes on tells how far it is; once it has ended the page is loaded again.
(function () {
  "use strict";
  var box = document.getElementById("work");
  if (!box || !box.hasAttribute("data-runs")) { return; }
  function look() {
    fetch("/past/work", { credentials: "same-origin" }).then(function (response) { return response.json(); }).then(function (now) {
      if (!now.Runs) { location.reload(); return; }
      var bar = document.getElementById("bar"), far = document.getElementById("far");
      if (now.Total && bar && far) {
        bar.max = now.Total;
        bar.value = now.Done;
        far.textContent = now.Done + " of " + now.Total;
      }
      setTimeout(look, 1000);
    }).catch(function () { setTimeout(look, 3000); });
  }
  setTimeout(look, 500);
})();
