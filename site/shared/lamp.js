// The lamp: light, dark, or as the system says. Remembered where the browser
// allows it; pages opened from disk may not be allowed to remember.
(function () {
  "use strict";
  var root = document.documentElement;
  var key = "rakelight-lamp";
  // The words of the page's language by their English; an English page has none. What
  // follows them is put in the places of %s and %d, or of %[2]s, in its order.
  var inWords = JSON.parse(document.currentScript.getAttribute("data-words") || "{}");
  function say(words) {
    var values = arguments, next = 1;
    return (inWords[words] || words.replace(/^.*¦/, "")).replace(/%(?:\[(\d+)\])?([sd%])/g, function (all, at, what) {
      if (what === "%") { return "%"; }
      next = at ? Number(at) : next;
      return String(values[next++]);
    });
  }
  // A number with its noun, "12 photos".
  say.count = function (n, noun) {
    var form = inWords["other¦%d " + noun] ? new Intl.PluralRules(root.lang).select(n) : "";
    var words = inWords[form + "¦%d " + noun] || inWords["other¦%d " + noun];
    return words ? words.replace("%d", n) : n + " " + noun + (n === 1 ? "" : "s");
  };
  window.rakelightSay = say; // for the page's own script
  var words = { system: say("Lamp: follows your system"), light: say("Lamp: light"), dark: say("Lamp: dark") };
  var order = ["system", "light", "dark"];

  function recall() {
    try { return order.indexOf(localStorage.getItem(key)) > 0 ? localStorage.getItem(key) : "system"; } catch (e) { return "system"; }
  }
  function remember(lamp) {
    try { localStorage.setItem(key, lamp); } catch (e) { /* it holds for this page */ }
  }
  function set(lamp) {
    if (lamp === "system") { root.removeAttribute("data-theme"); } else { root.setAttribute("data-theme", lamp); }
  }

  var lamp = recall();
  // A page written with a theme of its own keeps it until somebody chooses.
  if (lamp !== "system") { set(lamp); }
  root.classList.add("scripts");

  document.addEventListener("DOMContentLoaded", function () {
    var button = document.getElementById("lamp");
    if (!button) { return; }
    button.hidden = false;
    button.textContent = words[lamp];
    button.addEventListener("click", function () {
      lamp = order[(order.indexOf(lamp) + 1) % order.length];
      set(lamp);
      remember(lamp);
      button.textContent = words[lamp];
    });
  });
})();
