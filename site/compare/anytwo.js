// Any two photos side by side: compare.html#a=DIGITS&b=DIGITS (or ?a=…&b=…). What
// is known of photos lies in small scripts beside this page, by the first two
// digits, because a page opened from disk can read nothing else. The rules of
// what compares are those of the written comparisons.
(function () {
  "use strict";
  var say = window.rakelightSay;
  var known = {};
  window.rakelightPhotos = function (some) {
    Object.keys(some).forEach(function (digits) { known[digits] = some[digits]; });
  };
  var box = document.getElementById("compare");
  var refuse = document.getElementById("refuse");
  var here = document.currentScript.src.replace(/assets\/[^\/]*$/, "");

  function putWords(id, words) {
    var at = document.getElementById(id);
    at.textContent = words;
    at.hidden = !words;
  }
  function asked(name) {
    var from = [window.location.hash.slice(1), window.location.search.slice(1)];
    for (var i = 0; i < from.length; i++) {
      var value = (new URLSearchParams(from[i]).get(name) || "").toLowerCase();
      if (/^[0-9a-f]{8,64}$/.test(value)) { return value; }
    }
    return "";
  }
  function load(src, then) {
    var script = document.createElement("script");
    script.src = src;
    script.onload = script.onerror = then;
    document.head.appendChild(script);
  }
  // The digits of a photo are as few as tell it apart: an address may hold more
  // or fewer than today.
  function find(digits) {
    var fits = Object.keys(known).filter(function (one) { return one.indexOf(digits) === 0 || digits.indexOf(one) === 0; });
    return fits.length === 1 ? { digits: fits[0], of: known[fits[0]] } : null;
  }

  function sizes(photo) {
    var own = photo.of.width, all = [480, 960, 1600], set = [], last = 0, src = "";
    for (var i = 0; i < all.length; i++) {
      var file = "photos/" + photo.digits + "-" + all[i] + ".jpg";
      last = Math.min(all[i], own);
      set.push(file + " " + last + "w");
      if (all[i] <= 960) { src = file; }
      if (all[i] >= own) { break; }
    }
    return { src: src, set: set.join(", "), large: set[set.length - 1].split(" ")[0], width: last, height: Math.max(1, Math.round(last * photo.of.height / own)) };
  }
  function half(photo, side) {
    var figure = document.createElement("figure"), link = document.createElement("a"), image = document.createElement("img");
    var words = document.createElement("figcaption"), strong = document.createElement("strong"), size = sizes(photo);
    figure.className = "half half-" + side;
    link.href = size.large;
    image.setAttribute("sizes", "(max-width: 40rem) 94vw, 34rem");
    image.srcset = size.set;
    image.src = size.src;
    image.width = size.width;
    image.height = size.height;
    image.alt = photo.of.alt;
    link.appendChild(image);
    strong.textContent = photo.label;
    words.appendChild(strong);
    words.appendChild(document.createTextNode(" " + photo.of.alt));
    if (photo.of.caption) {
      var said = document.createElement("em");
      said.textContent = " " + photo.of.caption;
      words.appendChild(said);
    }
    figure.appendChild(link);
    figure.appendChild(words);
    return figure;
  }

  function different(a, b) {
    var view = a.view && b.view && a.view !== b.view ? say("different view (%s, %s)", a.view, b.view) : "";
    var light = a.light && b.light && a.light !== b.light ? say("different light (%s, %s)", a.light, b.light) : "";
    var words = view && light ? say("list¦%s and %s", view, light) : view || light;
    return words ? say("Not comparable: %s.", words) : "";
  }
  function unsaid(a, b) {
    var view = !a.view || !b.view, light = !a.light || !b.light;
    if (view && light) { return say("View and light are not tagged on both photos: compare with care."); }
    if (view) { return say("The view is not tagged on both photos: compare with care."); }
    return light ? say("The light is not tagged on both photos: compare with care.") : "";
  }

  function show(pair) {
    var homes = document.getElementById("homes");
    pair.forEach(function (photo, i) {
      box.appendChild(half(photo, i ? "now" : "then"));
      if (photo.of.home) {
        var item = document.createElement("li"), link = document.createElement("a");
        link.href = photo.of.home;
        link.textContent = photo.of.alt;
        item.appendChild(link);
        homes.appendChild(item);
      }
    });
    box.hidden = false;
    putWords("caution", unsaid(pair[0].of, pair[1].of));
    var why = different(pair[0].of, pair[1].of);
    if (why) {
      putWords("refuse", why + " " + say("Shown side by side, without figures."));
      return;
    }
    document.querySelector("[data-cut='100']").textContent = pair[0].label;
    document.querySelector("[data-cut='0']").textContent = pair[1].label;
    load(here + "assets/compare.js", function () {});
  }

  var digits = [asked("a"), asked("b")];
  window.addEventListener("hashchange", function () { window.location.reload(); });
  if (!digits[0] || !digits[1]) {
    putWords("refuse", say("No two photos are picked yet. Pick two on the page Then and now, and they stand here side by side."));
    return;
  }
  var files = digits.map(function (one) { return "data/photos-" + one.slice(0, 2) + ".js"; });
  if (files[0] === files[1]) { files.pop(); }
  var left = files.length;
  files.forEach(function (name) {
    load(here + name, function () {
      if (--left) { return; }
      var pair = digits.map(find);
      var missing = digits.filter(function (_, i) { return !pair[i]; });
      if (missing.length) {
        putWords("refuse", say("No photo with these digits is on these pages: %s.", missing.join(", ")));
        return;
      }
      if (pair[0].of.at > pair[1].of.at) { pair.reverse(); }
      pair.forEach(function (photo) { photo.label = photo.of.label; });
      if (pair[0].label === pair[1].label) {
        pair[0].label = "Earlier";
        pair[1].label = "Later";
      }
      show(pair);
    });
  });
})();
