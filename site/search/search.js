// Search, without a server: the index lies in small scripts beside this page, one a
// year, because a page opened from disk can read nothing else. Words were folded and
// stemmed when it was written. Here what is asked for is folded in the same way, and
// its stem looked up among all words of the journal: nothing is stemmed here. Without
// this script the names stand below, by letter.
(function () {
  "use strict";
  var say = window.rakelightSay;
  var form = document.getElementById("search");
  if (!form) { return; }
  var field = document.getElementById("words"), says = document.getElementById("search-says"), box = document.getElementById("found");
  var here = document.currentScript.src.replace(/assets\/[^\/]*$/, "");
  var years = form.getAttribute("data-years").split(" ").filter(Boolean);
  var groups = form.getAttribute("data-groups").split(",");
  var stop = form.getAttribute("data-stop").split(" ");
  var index = {}, state = "no"; // "no", "loading", "there"
  var few = 6; // of a group at first
  window.rakelightSearch = function (year, one) { index[year] = one; };

  // Folding, as where the index was written.
  var shapes = { "ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "đ": "d", "ð": "d", "þ": "th", "ł": "l", "ı": "i", "ς": "σ" };
  function fold(word) {
    return word.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase().replace(/[ßæœøđðþłıς]/g, function (c) { return shapes[c]; });
  }
  var run = /[\p{L}\p{N}\p{M}]+/gu;
  function wordsOf(text) {
    var out = [];
    (text.match(run) || []).forEach(function (part) {
      (fold(part).match(/[\p{L}\p{N}]+/gu) || []).forEach(function (word) {
        if (new TextEncoder().encode(word).length > 1) { out.push(word); }
      });
    });
    return out;
  }
  window.rakelightWords = wordsOf; // for the test that both sides fold alike

  function load(then) {
    if (state !== "no") { return; }
    state = "loading";
    var left = years.length;
    if (!left) { state = "there"; then(); }
    years.forEach(function (year) {
      var script = document.createElement("script");
      script.src = here + "data/search-" + year + ".js";
      script.onload = script.onerror = function () { if (!--left) { state = "there"; then(); } };
      document.head.appendChild(script);
    });
  }
  function has(map, word) { return Object.prototype.hasOwnProperty.call(map, word); }

  // The stems that a word stands for, with how well: its own, those that begin with
  // it, and, where there is neither, the longest word that it begins with.
  function stemsOf(word) {
    var own = {}, begun = {}, part = "";
    years.forEach(function (year) {
      var one = index[year];
      if (!one) { return; }
      if (has(one.forms, word)) { own[one.forms[word]] = 3; } else if (has(one.words, word)) { own[word] = 3; }
      function see(form, stem) {
        if (word.length > 2 && form.indexOf(word) === 0) { begun[stem] = 1; }
        if (form.length > Math.max(3, part.length, word.length - 5) && word.indexOf(form) === 0) { part = form; begun[" "] = stem; }
      }
      Object.keys(one.words).forEach(function (stem) { see(stem, stem); });
      Object.keys(one.forms).forEach(function (form) { see(form, one.forms[form]); });
    });
    var last = begun[" "];
    delete begun[" "];
    Object.keys(own).forEach(function (stem) { begun[stem] = 3; });
    if (!Object.keys(begun).length && last) { begun[last] = 1; }
    return begun;
  }
  // An umlaut may be spelled with an e: who asks for Möwe finds Moewe where there is no
  // Möwe, and the other way round.
  function spelledStems(part, word, i) {
    var withE = wordsOf(part.normalize("NFC").replace(/[äöü]/gi, function (c) { return fold(c) + "e"; }))[i];
    var ways = [word, withE, word.replace(/([aou])e/g, "$1")], of = {};
    for (var n = 0; n < ways.length && !Object.keys(of).length; n++) { of = stemsOf(ways[n]); }
    return of;
  }
  function find(asked) {
    var words = [], stems = [], out = [];
    (asked.match(run) || []).forEach(function (part) {
      wordsOf(part).forEach(function (word, i) {
        if (stop.indexOf(word) < 0) { words.push(word); stems.push(spelledStems(part, word, i)); }
      });
    });
    years.forEach(function (year) {
      var one = index[year];
      if (!one || !words.length) { return; }
      var points = one.docs.map(function () { return 0; }), met = one.docs.map(function () { return 0; });
      stems.forEach(function (of, i) {
        var best = {};
        Object.keys(of).forEach(function (stem) {
          if (has(one.words, stem)) { one.words[stem].forEach(function (n) { best[n] = Math.max(best[n] || 0, of[stem]); }); }
        });
        Object.keys(best).forEach(function (n) { met[n]++; points[n] += best[n]; });
      });
      one.docs.forEach(function (doc, n) {
        if (met[n] === stems.length) { out.push({ doc: doc, points: points[n] + (hits(doc.t, one, stems) ? 2 : 0), year: year, n: n, one: one }); }
      });
    });
    // The best, then the latest.
    out.sort(function (a, b) { return b.points - a.points || (a.year < b.year ? 1 : a.year > b.year ? -1 : b.n - a.n); });
    return { finds: out, stems: stems, words: words };
  }
  function isHit(part, one, stems) {
    return wordsOf(part).some(function (word) {
      var stem = has(one.forms, word) ? one.forms[word] : word;
      return stems.some(function (of) { return has(of, stem); });
    });
  }
  function hits(text, one, stems) { return (text.match(run) || []).some(function (part) { return isHit(part, one, stems); }); }

  // The text with its hits marked; of a long one, what stands around the first.
  function put(into, text, one, stems, around) {
    var from = 0, to = text.length;
    if (text.length > 2.5 * around) {
      var met = Array.from(text.matchAll(run)).filter(function (m) { return isHit(m[0], one, stems); })[0];
      var first = met ? met.index : -1;
      from = Math.max(0, text.lastIndexOf(" ", Math.max(0, first - around)) + 1);
      to = text.indexOf(" ", Math.max(first, 0) + around);
      if (to < 0) { to = text.length; }
    }
    if (from) { into.appendChild(document.createTextNode("… ")); }
    var piece = text.slice(from, to), at = 0;
    piece.replace(run, function (part, i) {
      if (!isHit(part, one, stems)) { return part; }
      into.appendChild(document.createTextNode(piece.slice(at, i)));
      into.appendChild(el("mark", "", part));
      at = i + part.length;
      return part;
    });
    into.appendChild(document.createTextNode(piece.slice(at)));
    if (to < text.length) { into.appendChild(document.createTextNode(" …")); }
  }
  function el(name, className, text) {
    var e = document.createElement(name);
    if (className) { e.className = className; }
    if (text) { e.textContent = text; }
    return e;
  }
  function itemOf(find, stems) {
    var item = el("li"), link = el("a"), doc = find.doc;
    link.href = doc.h;
    put(link, doc.t, find.one, stems, 70);
    item.appendChild(link);
    if (doc.w) {
      item.appendChild(document.createTextNode(" "));
      item.appendChild(el("span", "where", doc.w));
    }
    if (doc.x) {
      var words = el("p");
      put(words, doc.x, find.one, stems, 90);
      item.appendChild(words);
    }
    return item;
  }
  function sectionOf(group, finds, stems) {
    var section = el("section"), list = el("ul", "finds");
    section.appendChild(el("h2", "", group + " (" + finds.length + ")"));
    finds.slice(0, few).forEach(function (one) { list.appendChild(itemOf(one, stems)); });
    section.appendChild(list);
    if (finds.length > few) {
      var more = el("button", "", say("Show all %d", finds.length));
      more.type = "button";
      more.appendChild(el("span", "unseen", " " + group));
      more.addEventListener("click", function () {
        var first = null;
        finds.slice(few).forEach(function (one) {
          var item = itemOf(one, stems);
          first = first || item;
          list.appendChild(item);
        });
        more.remove();
        first.querySelector("a").focus();
      });
      section.appendChild(more);
    }
    return section;
  }

  function show() {
    var asked = field.value.trim();
    box.textContent = "";
    if (!asked) { says.textContent = ""; return; }
    if (state !== "there") {
      says.textContent = say("Looking …");
      load(show);
      return;
    }
    var got = find(asked);
    if (!got.words.length) {
      says.textContent = say("These words stand in every text: add another one.");
    } else if (!got.finds.length) {
      says.textContent = got.words.length > 1 ? say("Nothing found with all of these words.") : say("Nothing found with this word.");
    } else {
      var told = [];
      groups.forEach(function (group) {
        var of = got.finds.filter(function (one) { return one.doc.g === group; });
        if (of.length) {
          told.push(group + " " + of.length);
          box.appendChild(sectionOf(group, of, got.stems));
        }
      });
      says.textContent = say("Found %d: %s.", got.finds.length, told.join(", "));
    }
  }
  function toAddress() {
    var asked = field.value.trim();
    window.history.replaceState(null, "", asked ? "#" + new URLSearchParams({ q: asked }) : window.location.pathname);
  }
  function fromAddress() {
    var hash = window.location.hash.slice(1);
    if (hash && hash.indexOf("q=") < 0) { return; } // a letter
    field.value = new URLSearchParams(hash || window.location.search.slice(1)).get("q") || "";
    show();
  }
  var soon = 0;
  field.addEventListener("input", function () {
    window.clearTimeout(soon);
    soon = window.setTimeout(function () { toAddress(); show(); }, 180);
  });
  form.addEventListener("submit", function (event) {
    event.preventDefault();
    window.clearTimeout(soon);
    toAddress();
    show();
  });
  window.addEventListener("hashchange", fromAddress);
  form.hidden = false;
  fromAddress();
})();
