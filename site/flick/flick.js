// The flick-through: one picture of the strip at a time, in one frame. The range
// control does all the work, so that a finger, a mouse and the arrow keys move the
// same value; the keys work from anywhere on the page that does not need them.
// Nothing moves by itself. Without this script the strip stands as it is.
(function () {
  "use strict";
  var say = window.rakelightSay;
  var box = document.getElementById("flick");
  var strip = document.getElementById("flick-strip");
  var picture = document.getElementById("flick-picture");
  var says = document.getElementById("flick-says");
  var at = document.getElementById("flick-at");
  if (!box || !strip || !picture || !says || !at) { return; }
  var frames = Array.prototype.map.call(strip.querySelectorAll("figure"), function (figure) {
    var image = figure.querySelector("img");
    return { src: image.getAttribute("src"), alt: image.alt, time: figure.querySelector("time"), stage: figure.querySelector("b"), note: figure.querySelector(".soft") };
  });
  var asked = {};
  // Those around the one that is shown are fetched, so that none comes late.
  function askFor(i) {
    if (i < 0 || i >= frames.length || asked[i]) { return; }
    asked[i] = new Image();
    asked[i].src = frames[i].src;
  }
  function show() {
    var i = Math.min(Math.max(Number(at.value) - 1, 0), frames.length - 1);
    var one = frames[i];
    askFor(i);
    picture.src = one.src;
    picture.alt = one.alt;
    says.textContent = "";
    if (one.stage) { says.appendChild(one.stage.cloneNode(true)); }
    says.appendChild(one.time.cloneNode(true));
    var count = document.createElement("span");
    count.className = "count";
    count.textContent = say("%d of %d", i + 1, frames.length);
    says.appendChild(count);
    if (one.note) {
      var note = document.createElement("span");
      note.className = "note";
      note.textContent = one.note.textContent;
      says.appendChild(note);
    }
    at.setAttribute("aria-valuetext", (one.stage ? one.stage.textContent + ", " : "") + one.time.textContent + ", " + count.textContent);
    for (var k = 1; k <= 4; k++) { askFor(i + k); askFor(i - k); }
  }
  at.addEventListener("input", show);
  document.addEventListener("keydown", function (event) {
    if (event.defaultPrevented || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) { return; }
    var target = event.target;
    if (target !== document.body && target.id !== "main") { return; }
    var to = { ArrowLeft: Number(at.value) - 1, ArrowRight: Number(at.value) + 1, Home: 1, End: frames.length }[event.key];
    if (to === undefined) { return; }
    event.preventDefault();
    at.value = String(to);
    show();
  });
  box.hidden = false;
  box.classList.add("on");
  show();
}());
