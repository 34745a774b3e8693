// The comparison: lays the two prints into one frame with a divider. The range
// control below does all the work, so that the arrow keys, Home and End, a
// mouse and a finger all move the same value. Two photos that are shown laid
// over each other and as taken have a frame for each and one divider for both.
// All that is zoomed is zoomed alike: one place, set on every pair of pictures.
// Without this script the two prints stand side by side.
(function () {
  "use strict";
  var say = window.rakelightSay;
  var compares = Array.prototype.slice.call(document.querySelectorAll(".compare"));
  var divider = document.getElementById("divider");
  var cut = document.getElementById("cut");
  var says = document.getElementById("shown");
  var most = 8; // times as large: beyond it the largest web size shows nothing new
  var place = { zoom: 1, x: 0, y: 0 }; // x and y: how far the pictures lie left of and above their box, in its widths and heights
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
    frame.style.maxWidth = "calc(68vh * " + ratio + ")";
    function copy(image, name) {
      var layer = document.createElement("div"), c = image.cloneNode(false);
      layer.className = name; // what is cut is the layer, which no zoom moves
      c.alt = ""; // the prints themselves carry the words
      c.loading = "eager";
      c.decoding = "sync"; // both appear at once, or the divider would cut across nothing
      c.sizes = "(max-width: 62rem) 94vw, 66rem";
      c.draggable = false;
      layer.appendChild(c);
      frame.appendChild(layer);
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
    frame.tabIndex = 0;
    frame.setAttribute("role", "group");
    frame.setAttribute("aria-label", say("Both pictures in one frame: %s; %s", images[0].alt, images[1].alt));
    frame.setAttribute("aria-describedby", "compare-keys");
    return frame;
  }
  var frames = compares.map(frameOf);
  function joined() { return compares[0].classList.contains("joined"); }

  // The divider.
  function show() {
    var whole = cut.value === "100" ? "then" : cut.value === "0" ? "now" : "both";
    frames.forEach(function (frame) {
      frame.style.setProperty("--cut", cut.value + "%");
      frame.setAttribute("data-shows", whole);
    });
    cut.setAttribute("aria-valuetext", cut.value + " % of the earlier picture, " + (100 - cut.value) + " % of the later");
  }
  function set(value) {
    cut.value = String(Math.round(Math.max(0, Math.min(100, value))));
    show();
  }
  function setApart(is) {
    compares.forEach(function (compare, i) {
      compare.classList.toggle("joined", !is);
      frames[i].hidden = is;
    });
    apart.setAttribute("aria-pressed", String(is));
    cut.disabled = is;
  }
  // One picture, then the other, in one place: only when somebody asks for it.
  function flick() {
    setApart(false);
    set(cut.value === "100" ? 0 : 100);
    says.textContent = say("Shown: %s.", frames[0].querySelector(cut.value === "100" ? ".name-then" : ".name-now").textContent);
  }

  // The zoom.
  function hold(value, low, high) { return Math.max(low, Math.min(high, value)); }
  function move(zoom, x, y) {
    place.zoom = hold(zoom, 1, most);
    place.x = hold(x, 0, place.zoom - 1);
    place.y = hold(y, 0, place.zoom - 1);
    compares.forEach(function (compare) {
      compare.style.setProperty("--zoom", String(place.zoom));
      compare.style.setProperty("--left", -100 * place.x + "%");
      compare.style.setProperty("--top", -100 * place.y + "%");
      compare.classList.toggle("zoomed", place.zoom > 1);
      if (place.zoom > 1) {
        compare.querySelectorAll("img").forEach(function (image) { image.sizes = "100rem"; }); // the largest there is
      }
    });
  }
  // What lies at a point of the box stays there.
  function zoomTo(zoom, at) {
    var to = hold(zoom, 1, most), times = to / place.zoom;
    move(to, (place.x + at.x) * times - at.x, (place.y + at.y) * times - at.y);
  }
  function tellZoom() { says.textContent = place.zoom > 1 ? say("Zoomed to %d %%.", Math.round(100 * place.zoom)) : say("The whole picture."); }
  var middle = { x: 0.5, y: 0.5 };
  var steps = {
    closer: function () { zoomTo(place.zoom * 1.5, middle); },
    farther: function () { zoomTo(place.zoom / 1.5, middle); },
    whole: function () { move(1, 0, 0); }
  };
  function step(name) { steps[name](); tellZoom(); }

  // Mouse and fingers. One finger or the left button: the divider, or, of a picture
  // that is zoomed and not touched at the edge of the cut, the picture. Two fingers zoom.
  function listen(box, frame) {
    var down = {}, grip = null, dragged = false;
    function pointOf(event) {
      var is = box.getBoundingClientRect();
      return { x: (event.clientX - is.left) / (is.width || 1), y: (event.clientY - is.top) / (is.height || 1), width: is.width };
    }
    function held() { return Object.keys(down).map(function (id) { return down[id]; }); }
    function begin() {
      var all = held();
      grip = { zoom: place.zoom, x: place.x, y: place.y, from: all.slice(), cut: frame && joined() && all.length === 1 &&
        (place.zoom === 1 || Math.abs(all[0].x * 100 - cut.value) * all[0].width / 100 < 22) };
    }
    function far(a, b) { return Math.hypot((a.x - b.x) * a.width, a.y - b.y ? (a.y - b.y) * box.clientHeight : 0); }
    box.addEventListener("pointerdown", function (event) {
      if (event.button !== 0) { return; }
      if (!frame && event.pointerType === "mouse" && place.zoom === 1) { return; } // a click on a print opens it
      dragged = false;
      down[event.pointerId] = pointOf(event);
      box.setPointerCapture(event.pointerId);
      begin();
      if (grip.cut) { set(100 * grip.from[0].x); }
      if (frame && event.pointerType === "mouse") {
        event.preventDefault();
        (grip.cut ? cut : frame).focus({ preventScroll: true });
      }
    });
    box.addEventListener("pointermove", function (event) {
      if (!down[event.pointerId] || !grip) { return; }
      down[event.pointerId] = pointOf(event);
      var now = held(), from = grip.from;
      if (now.length > 1) {
        var a = { x: (from[0].x + from[1].x) / 2, y: (from[0].y + from[1].y) / 2 };
        var b = { x: (now[0].x + now[1].x) / 2, y: (now[0].y + now[1].y) / 2 };
        var zoom = hold(grip.zoom * far(now[0], now[1]) / Math.max(1, far(from[0], from[1])), 1, most);
        move(zoom, (grip.x + a.x) * zoom / grip.zoom - b.x, (grip.y + a.y) * zoom / grip.zoom - b.y);
        dragged = true;
      } else if (grip.cut) {
        set(100 * now[0].x);
      } else if (place.zoom > 1) {
        move(place.zoom, grip.x + from[0].x - now[0].x, grip.y + from[0].y - now[0].y);
        dragged = dragged || far(from[0], now[0]) > 4;
      }
    });
    function up(event) {
      if (!down[event.pointerId]) { return; }
      delete down[event.pointerId];
      if (held().length) { begin(); } else { grip = null; }
    }
    box.addEventListener("pointerup", up);
    box.addEventListener("pointercancel", up);
    box.addEventListener("click", function (event) {
      if (dragged) { event.preventDefault(); } // a print that was moved is not opened
      dragged = false;
    });
    box.addEventListener("wheel", function (event) {
      if (!event.ctrlKey && !event.metaKey && place.zoom === 1) { return; } // the page scrolls
      event.preventDefault();
      zoomTo(place.zoom * Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.05 : 0.002)), pointOf(event));
    }, { passive: false });
  }

  // Keys: only while what they move has the focus.
  function onKey(event) {
    if (event.altKey || event.ctrlKey || event.metaKey) { return; }
    var name = { "+": "closer", "=": "closer", "-": "farther", "0": "whole" }[event.key];
    var way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (name) {
      step(name);
    } else if (event.key.toLowerCase() === "f") {
      flick();
    } else if (way && event.target !== cut && !divider.contains(event.target) && place.zoom > 1) {
      move(place.zoom, place.x + way[0] / 8, place.y + way[1] / 8);
    } else if (way && way[0] && event.target.classList.contains("frame")) {
      set(Number(cut.value) + way[0]);
    } else {
      return;
    }
    event.preventDefault();
  }

  cut.addEventListener("input", show);
  var apart = document.getElementById("apart");
  divider.addEventListener("click", function (event) {
    var value = event.target.getAttribute("data-cut"), zoom = event.target.getAttribute("data-zoom");
    if (value !== null) { setApart(false); set(Number(value)); }
    if (zoom) { step(zoom); }
  });
  apart.addEventListener("click", function () { setApart(joined()); });
  document.getElementById("flick").addEventListener("click", flick);
  divider.addEventListener("keydown", onKey);

  compares.forEach(function (compare, i) {
    compare.insertBefore(frames[i], compare.firstChild);
    compare.classList.add("joined");
    compare.addEventListener("keydown", onKey);
    listen(frames[i], true);
    compare.querySelectorAll(".half a").forEach(function (print) { listen(print, false); });
  });
  divider.hidden = false;
  show();
  move(1, 0, 0);
})();
