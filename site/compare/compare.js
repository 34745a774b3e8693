// The comparison: lays the two prints into one frame with a divider. The range
// control below does all the work, so that the arrow keys, Home and End, a
// mouse and a finger all move the same value. Two photos that are shown laid
// over each other and as taken have a frame for each and one divider for both.
// Without this script the two prints stand side by side.
(function () {
  "use strict";
  var compares = Array.prototype.slice.call(document.querySelectorAll(".compare"));
  var divider = document.getElementById("divider");
  var cut = document.getElementById("cut");
  function imagesOf(compare) { return compare.querySelectorAll(".half img"); }
  if (!divider || !cut || !compares.length) { return; }
  if (compares.some(function (compare) { return imagesOf(compare).length !== 2; })) { return; }

  function frameOf(compare) {
    var halves = compare.querySelectorAll(".half");
    var images = imagesOf(compare);
    var frame = document.createElement("div");
    frame.className = "frame";
    // The wider of the two shapes would cut the taller one: take the taller.
    var ratio = Math.min.apply(null, Array.prototype.map.call(images, function (i) { return i.getAttribute("width") / i.getAttribute("height"); }));
    frame.style.aspectRatio = String(ratio);
    frame.style.maxWidth = "calc(76vh * " + ratio + ")";
    function copy(image, name) {
      var c = image.cloneNode(false);
      c.className = name;
      c.alt = ""; // the prints themselves carry the words
      c.loading = "eager";
      c.decoding = "sync"; // both appear at once, or the divider would cut across nothing
      c.sizes = "(max-width: 62rem) 94vw, 66rem";
      c.draggable = false;
      frame.appendChild(c);
    }
    copy(images[1], "under");
    copy(images[0], "over");
    ["then", "now"].forEach(function (side, i) {
      var name = document.createElement("span");
      name.className = "name name-" + side;
      name.textContent = halves[i].querySelector("strong").textContent;
      frame.appendChild(name);
    });
    var edge = document.createElement("span");
    edge.className = "edge";
    frame.appendChild(edge);
    frame.setAttribute("role", "img");
    frame.setAttribute("aria-label", "Both pictures in one frame: " + images[0].alt + "; " + images[1].alt);

    function follow(event) {
      var box = frame.getBoundingClientRect();
      if (box.width > 0) { set(100 * (event.clientX - box.left) / box.width); }
    }
    frame.addEventListener("pointerdown", function (event) {
      if (event.button !== 0) { return; }
      frame.setPointerCapture(event.pointerId);
      follow(event);
      if (event.pointerType === "mouse") {
        event.preventDefault();
        cut.focus({ preventScroll: true });
      }
    });
    frame.addEventListener("pointermove", function (event) {
      if (frame.hasPointerCapture(event.pointerId)) { follow(event); }
    });
    return frame;
  }
  var frames = compares.map(frameOf);

  function show() {
    frames.forEach(function (frame) { frame.style.setProperty("--cut", cut.value + "%"); });
    cut.setAttribute("aria-valuetext", cut.value + " % of the earlier picture, " + (100 - cut.value) + " % of the later");
  }
  function set(value) {
    cut.value = String(Math.round(Math.max(0, Math.min(100, value))));
    show();
  }

  cut.addEventListener("input", show);
  divider.addEventListener("click", function (event) {
    var value = event.target.getAttribute("data-cut");
    if (value !== null) { set(Number(value)); }
  });
  var apart = document.getElementById("apart");
  apart.addEventListener("click", function () {
    var joined = !compares[0].classList.contains("joined");
    compares.forEach(function (compare, i) {
      compare.classList.toggle("joined", joined);
      frames[i].hidden = !joined;
    });
    apart.setAttribute("aria-pressed", String(!joined));
    cut.disabled = !joined;
  });

  compares.forEach(function (compare, i) {
    compare.insertBefore(frames[i], compare.firstChild);
    compare.classList.add("joined");
  });
  divider.hidden = false;
  show();
})();
