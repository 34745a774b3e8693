// The contact sheet with keys, drag and taps. Pictures are chosen by one rule, whatever
// was said of them: the first one tapped begins, the second ends, all between them are
// chosen; the next tap begins anew, and so does the one after something was said. Space
// and Enter tap; a capital letter goes to the next evening that bears it. While only the first is chosen a mark goes to it alone, a stage to all
// from it to the end of its stage. With nothing chosen a stage fills those that have none.
(function () {
  "use strict";
  var cells = [], at = -1, anchor = -1, chosen = null; // chosen: null = open at anchor, else a list of places
  var spent = false; // something was said of what is chosen: the next tap begins anew
  var held = false; // Space began a range: moving by keys does not begin another
  var leaving = false, keysOn = true, field = "", busy = false, queue = [];

  function el(id) { return document.getElementById(id); }
  function all(what, where) { return Array.prototype.slice.call((where || document).querySelectorAll(what)); }
  function stored(key, value) {
    try {
      if (value !== undefined) { localStorage.setItem(key, value); }
      return localStorage.getItem(key);
    } catch (e) { return null; }
  }
  function input(i) { return cells[i].querySelector("input"); }
  function isOut(i) { return cells[i].classList.contains("out"); }
  function pictures(n) { return n === 1 ? "1 picture" : n + " pictures"; }

  // rangeOf is what an open range takes in: from its picture to the end of its stage.
  function rangeOf(from) {
    var list = [], stage = cells[from].dataset.stage;
    for (var i = from; i < cells.length; i++) {
      if (isOut(i)) { continue; }
      if (cells[i].dataset.stage !== stage) { break; }
      list.push(i);
    }
    return list.length ? list : [from];
  }
  function between(a, b) {
    var list = [];
    for (var i = Math.min(a, b); i <= Math.max(a, b); i++) { list.push(i); }
    return list;
  }

  function show() {
    var open = anchor >= 0 && !chosen ? rangeOf(anchor) : [];
    var on = chosen || (anchor >= 0 ? [anchor] : []);
    cells.forEach(function (c, i) {
      input(i).checked = on.indexOf(i) >= 0;
      c.classList.toggle("ahead", open.indexOf(i) > 0);
    });
    var words;
    if (anchor < 0 && !chosen) {
      var bare = cells.filter(function (c, i) { return !isOut(i) && !c.dataset.stage; }).length;
      words = !el("stages") ? "Name all of these, or choose from which to which."
        : bare ? "Nothing chosen: a stage fills " + (bare === 1 ? "the 1 picture" : "the " + bare + " pictures") + " without one. Tap where another begins."
          : "Each has its stage. Tap the first, then the last of what is to change.";
    } else if (chosen) {
      var gone = chosen.filter(isOut).length;
      words = pictures(chosen.length) + " chosen" + (gone === 0 ? "." : gone === chosen.length ? ", left out." : ", " + gone + " of them left out.");
      if (chosen.length === 1) { words = input(chosen[0]).getAttribute("aria-label") + ". 1 picture chosen."; }
      words += " The next tap begins anew.";
    } else {
      var stage = document.querySelector('[value="stage:' + cells[anchor].dataset.stage + '"]');
      words = input(anchor).getAttribute("aria-label") + (!el("stages") ? ". The title goes to " + pictures(open.length) + ", from here to the end. Tap another to end there." : ". A mark goes to this one" +
        (open.length > 1 ? "; a stage to " + pictures(open.length) + ", from here to the end" +
          (stage ? " of " + stage.firstChild.textContent.trim() : "") + ". Tap another to end there." : "."));
      if (spent) { words += " The next tap begins anew."; }
    }
    var about = anchor >= 0 ? cells[anchor].dataset.about : "";
    el("chosen").textContent = words;
    if (about) { var small = document.createElement("small"); small.textContent = about; el("chosen").append(" ", small); }
    panel();
  }

  // The panel of a narrow screen stays as the person left it, on all sheets of builds:
  // naming opens it the first time, and nothing else but its own button. On a sheet that
  // is not named yet it says little, and is closed.
  var opened = false;
  function left() { return stored("rakelight-past-panel"); }
  function setPanel(is, keep) {
    opened = is;
    if (keep) { stored("rakelight-past-panel", is ? "open" : "closed"); }
    panel();
  }
  function panel() {
    var button = el("open"), n = forMark().length;
    document.body.classList.toggle("choosing", opened);
    if (!button) { return; }
    button.setAttribute("aria-expanded", opened ? "true" : "false");
    button.textContent = opened ? "Close" : (el("stages") ? "Stage, mark, more" : "Leave out, date, more") + (n ? " (" + n + " chosen)" : "");
    measure();
  }
  function measure() { // the panel stands on the bar at the bottom, however high that is
    var foot = document.querySelector(".foot"), tools = el("tools"), root = document.documentElement.style;
    if (foot) { root.setProperty("--foot", foot.offsetHeight + "px"); }
    if (tools) { root.setProperty("--tools", (opened ? tools.offsetHeight : 0) + "px"); }
  }

  function go(i) { // makes a picture the one that Tab comes back to
    if (at >= 0 && cells[at]) { input(at).tabIndex = -1; }
    at = i;
    input(i).tabIndex = 0;
  }
  function choose(a, b) { spent = held = false; anchor = a; chosen = between(a, b); show(); }
  function nothing() { spent = held = false; anchor = -1; chosen = null; show(); }
  function tap(i, event, byKey) {
    var holds = held;
    go(i);
    if (leaving) { say({ do: (isOut(i) ? "in:" : "out:") + input(i).value }); return; }
    if (event && event.shiftKey && anchor >= 0) { choose(anchor, i); return; }
    if (event && (event.ctrlKey || event.metaKey)) {
      var list = chosen || (anchor >= 0 ? [anchor] : []);
      chosen = list.indexOf(i) >= 0 ? list.filter(function (k) { return k !== i; }) : list.concat([i]);
      if (chosen.length === 0) { nothing(); return; }
      anchor = i;
    } else if (byKey && !holds && anchor === i && !chosen && !spent) {
      held = true; // the arrows chose it already
      show();
      return;
    } else if (anchor >= 0 && !chosen && !spent) {
      chosen = between(anchor, i);
    } else if (chosen && chosen.length === 1 && chosen[0] === i && !spent) {
      nothing();
      return;
    } else {
      anchor = i;
      chosen = null;
    }
    held = !!byKey && !chosen;
    spent = false;
    show();
    cells[i].scrollIntoView({ block: "nearest" }); // not below what was opened
  }

  // Moving by keys.
  function evening(i) { return cells[i].closest(".evening"); }
  function row(i, step) {
    var here = cells[i].getBoundingClientRect(), best = -1, top = null, near = 40; // px within which tops are of one row
    for (var k = i + step; k >= 0 && k < cells.length; k += step) {
      var r = cells[k].getBoundingClientRect();
      if (step > 0 ? r.top <= here.top + near : r.top >= here.top - near) { continue; }
      if (top === null) { top = r.top; }
      if (Math.abs(r.top - top) > near) { break; }
      var off = Math.abs(r.left + r.width / 2 - here.left - here.width / 2);
      var was = best < 0 ? Infinity : Math.abs(cells[best].getBoundingClientRect().left + cells[best].getBoundingClientRect().width / 2 - here.left - here.width / 2);
      if (off < was) { best = k; }
    }
    return best < 0 ? i : best;
  }
  function byEvening(i, step, last) {
    var k = i;
    if (last) { // extending: to the end of this evening, then of the next
      while (k + 1 < cells.length && evening(k + 1) === evening(i)) { k++; }
      if (k === i && k + 1 < cells.length) { return byEvening(i + 1, step, true); }
      return k;
    }
    while (k >= 0 && k < cells.length && evening(k) === evening(i)) { k += step; }
    if (k < 0) { return 0; }
    if (k >= cells.length) { return cells.length - 1; }
    while (step < 0 && k > 0 && evening(k - 1) === evening(k)) { k--; }
    return k;
  }
  // lettered is where the next evening that bears a letter begins, -1 = none does. A build
  // of more evenings than there are letters has each letter again and again.
  function lettered(letter, from) {
    var begins = all(".whole").filter(function (b) { return b.dataset.keys === letter; }).map(function (b) {
      return cells.indexOf(b.closest(".evening").querySelector(".c"));
    });
    var on = begins.filter(function (i) { return i > from; });
    return on.concat(begins, -1)[0];
  }
  function moved(key, i, shift) {
    switch (key) {
      case "ArrowRight": return Math.min(cells.length - 1, i + 1);
      case "ArrowLeft": return Math.max(0, i - 1);
      case "ArrowDown": return row(i, 1);
      case "ArrowUp": return row(i, -1);
      case "Home": return 0;
      case "End": return cells.length - 1;
      case "PageDown": return byEvening(i, 1, shift);
      case "PageUp": return byEvening(i, -1, false);
    }
    return -1;
  }

  // What is said.
  function values(list) { return list.filter(function (i) { return i >= 0; }).map(function (i) { return input(i).value; }).join(","); }
  function forRange() { return chosen || (anchor >= 0 ? rangeOf(anchor) : []); }
  function forMark() { return chosen || (anchor >= 0 ? [anchor] : []); }

  function press(button) {
    var what = button.value.split(":")[0], fields = { do: button.value }, form = el("sheet");
    ["title", "build", "when"].forEach(function (name) {
      if (form.elements[name]) { fields[name] = form.elements[name].value; }
    });
    var list = ["stage", "name", "build"].indexOf(what) >= 0 ? forRange() : forMark();
    if (what === "out" && button.value !== "out") { say(fields); return; } // it names its picture
    if (["role", "out", "in", "date"].indexOf(what) >= 0 && list.length === 0) {
      refuse("No picture is chosen: choose one, or the first and the last of several");
      return;
    }
    if ((what === "name" || what === "build") && el("stages") && list.length === 0) {
      refuse("No picture is chosen: choose where the other build begins");
      return;
    }
    if (what === "stage" && list.length === 0 && cells.every(function (c, i) { return isOut(i) || c.dataset.stage; })) {
      refuse("Nothing is chosen, and each picture has its stage: nothing was written");
      return;
    }
    if (["outall", "inall", "outevening", "inevening", "ends"].indexOf(what) < 0 && list.length) { fields.p = values(list); }
    spent = true;
    say(fields);
  }

  function newID() {
    var bytes = new Uint8Array(16);
    crypto.getRandomValues(bytes);
    return Array.prototype.map.call(bytes, function (b) { return (b < 16 ? "0" : "") + b.toString(16); }).join("");
  }
  function say(fields) {
    var body = new URLSearchParams(fields);
    body.set("once", newID());
    if (!body.has("of")) { body.set("of", el("sheet").elements.of.value); }
    queue.push(body);
    send();
  }
  // send sends what was said, one after the other, so that keys may be struck faster
  // than the journal answers.
  function send() {
    if (busy || queue.length === 0) { return; }
    busy = true;
    document.body.setAttribute("aria-busy", "true");
    var body = queue[0];
    fetch("/past/say", { method: "POST", body: body, credentials: "same-origin",
      headers: { "Accept": "application/json", "X-Form": document.body.dataset.form } }).then(function (response) {
      var why = response.headers.get("X-Refused");
      if (why === "form" && !body.has("again")) { // the page is of an earlier run of the program
        body.set("again", "1");
        return load().then(function (page) { document.body.dataset.form = page.body.dataset.form; });
      }
      if (why === "rate") { return new Promise(function (done) { setTimeout(done, 2000); }); }
      queue.shift();
      if (why) { refuse("This was not taken here: open the address that the terminal shows"); return null; }
      return response.json().then(function (answer) {
        if (!response.ok) { refuse(answer.Words + (answer.Hint ? "; " + answer.Hint : "")); return null; }
        tell(answer);
        return queue.length ? null : load().then(renew);
      });
    }).catch(function () {
      queue.shift();
      refuse("This was not written: the program does not answer. Is it still running?");
    }).then(function () {
      busy = false;
      if (queue.length) { send(); } else { document.body.removeAttribute("aria-busy"); }
    });
  }
  function load() {
    return fetch(location.href, { credentials: "same-origin" }).then(function (r) { return r.text(); }).then(function (text) {
      return new DOMParser().parseFromString(text, "text/html");
    });
  }

  // swap puts in what became of a part of the page; the focus goes to what stands where it
  // stood, so that nobody begins at the top again after each saying.
  function swap(old, now) {
    var stops = "button, select, input:not([type=hidden]), a[href], summary";
    var was = old.contains(document.activeElement) ? all(stops, old).indexOf(document.activeElement) : -2;
    now = document.adoptNode(now);
    old.replaceWith(now);
    if (was < -1) { return; }
    var there = now.matches(stops) ? [now] : all(stops, now);
    if (there.length) { there[Math.max(0, Math.min(was, there.length - 1))].focus({ preventScroll: true }); }
  }

  // renew takes over the page as it is now, without moving a picture that stays.
  function renew(page) {
    var there = all(".c", page);
    document.body.dataset.form = page.body.dataset.form;
    document.title = page.title;
    var same = there.length === cells.length && !el("stages") === !page.getElementById("stages") &&
      there.every(function (c, i) { return c.id === cells[i].id; });
    if (!same) {
      var y = window.scrollY;
      document.querySelector("main").replaceWith(document.adoptNode(page.querySelector("main")));
      document.querySelector(".top").replaceWith(document.adoptNode(page.querySelector(".top")));
      begin();
      window.scrollTo(0, y);
      refocus();
      if (el("stages") && left() !== "closed") { setPanel(true, true); } // it was just named: its stages come next
      return;
    }
    there.forEach(function (c, i) {
      var mine = cells[i];
      mine.className = c.className;
      mine.dataset.stage = c.dataset.stage;
      input(i).setAttribute("aria-label", c.querySelector("input").getAttribute("aria-label"));
      mine.querySelector(".cap").replaceWith(document.adoptNode(c.querySelector(".cap")));
    });
    all(".evening").forEach(function (e) { // what it can be told, left out or brought back
      var now = page.getElementById(e.id);
      if (now) { swap(e.querySelector(".when .quiet"), now.querySelector(".when .quiet")); }
    });
    var mine = document.querySelector(".naming .quiet"), theirs = page.querySelector(".naming .quiet");
    if (mine && theirs) { swap(mine, theirs); }
    ["head", "said", "ends"].forEach(function (id) {
      var old = el(id), now = page.getElementById(id);
      if (!old || !now) { return; }
      all("details", now).forEach(function (d) { d.open = !!old.querySelector("details[open]"); });
      swap(old, now);
    });
    var title = el("title"), when = el("when");
    if (title && el("stages")) { title.value = ""; }
    if (when) { when.value = ""; }
    keysWords();
    refocus();
    show();
  }
  // refocus goes back to the pictures where what had the focus is gone.
  function refocus() {
    if (document.activeElement === document.body && cells.length) { input(Math.max(at, 0)).focus({ preventScroll: true }); }
  }

  function undoForm() { return document.querySelector("#said .undo"); }
  function undo(form) {
    if (!form) { refuse("There is nothing to undo"); return; }
    say({ do: "undo", record: form.elements.record.value });
  }
  function tell(answer) {
    var box = el("told"), words = document.createElement("span");
    words.textContent = [answer.Words].concat(answer.Remark || []).join(" ");
    el("refused").replaceChildren();
    box.replaceChildren(words);
    if (answer.Undo) {
      var button = document.createElement("button");
      button.type = "button";
      button.textContent = "Undo";
      button.addEventListener("click", function () { say({ do: "undo", record: answer.Undo }); });
      box.append(button);
    }
  }
  function refuse(words) {
    el("told").replaceChildren();
    el("refused").textContent = words;
  }

  function keysWords() {
    document.body.classList.toggle("nokeys", !keysOn);
    all("[data-keys]").forEach(function (b) {
      if (!keysOn) { b.removeAttribute("aria-keyshortcuts"); return; }
      b.setAttribute("aria-keyshortcuts", b.dataset.keys.split("").map(function (key) {
        return /[A-Z]/.test(key) ? "Shift+" + key : key;
      }).join(" "));
    });
    if (el("keys")) { el("keys").textContent = keysOn ? "Turn letter and digit keys off" : "Turn letter and digit keys on"; }
  }

  // begin takes over a page that was just loaded or put in.
  function begin() {
    cells = all(".c");
    at = anchor = -1;
    chosen = null;
    keysOn = stored("rakelight-past-keys") !== "off";
    keysWords();
    if (!el("sheet")) { return; }
    cells.forEach(function (c, i) { input(i).checked = false; input(i).tabIndex = i ? -1 : 0; });
    if (cells.length) { at = 0; }
    all(".all").forEach(function (l) { l.remove(); });
    all("#taps, .keys").forEach(function (b) { b.hidden = false; });
    all(".whole").forEach(function (b) { b.disabled = false; b.title = "Choose all of it"; });
    all(".else").forEach(function (d) { d.open = !el("stages") && !window.matchMedia("(max-width: 62rem)").matches; });
    if (el("taps")) { el("taps").setAttribute("aria-pressed", leaving ? "true" : "false"); }
    document.body.classList.toggle("leaving", leaving);
    opened = !!el("stages") && left() === "open";
    show();
    var title = el("title");
    if (title && !el("stages") && title.autofocus) { title.focus({ preventScroll: true }); title.select(); }
  }

  var drag = null, dragged = false;
  document.addEventListener("pointerdown", function (event) {
    var c = event.target.closest(".c");
    dragged = false;
    drag = c && event.pointerType !== "touch" && event.button === 0 && !leaving ? cells.indexOf(c) : null;
  });
  document.addEventListener("pointermove", function (event) {
    if (drag === null || !(event.buttons & 1)) { return; }
    var over = document.elementFromPoint(event.clientX, event.clientY), c = over && over.closest(".c");
    if (!c) { return; }
    var i = cells.indexOf(c);
    if (i < 0 || i === drag && !dragged) { return; }
    dragged = true;
    go(i);
    choose(drag, i);
  });
  document.addEventListener("dragstart", function (event) { if (event.target.closest(".c")) { event.preventDefault(); } });
  document.addEventListener("pointerup", function () { drag = null; });

  document.addEventListener("click", function (event) {
    var c = event.target.closest(".c"), button = event.target.closest("button");
    if (c) {
      event.preventDefault();
      if (dragged) { dragged = false; setTimeout(show, 0); return; }
      var i = cells.indexOf(c), keys = { shiftKey: event.shiftKey, ctrlKey: event.ctrlKey, metaKey: event.metaKey };
      setTimeout(function () { tap(i, keys); }, 0); // a box that was clicked gets its old state back first
      return;
    }
    if (!button) { return; }
    if (button.id === "taps") {
      leaving = !leaving;
      nothing();
      button.setAttribute("aria-pressed", leaving ? "true" : "false");
      document.body.classList.toggle("leaving", leaving);
      tell({ Words: leaving ? "Each tap on a picture leaves it out, or brings it back." : "Taps choose pictures." });
    } else if (button.id === "keys") {
      keysOn = !keysOn;
      stored("rakelight-past-keys", keysOn ? "on" : "off");
      keysWords();
    } else if (button.id === "open") {
      setPanel(!opened, !!el("stages"));
    } else if (button.classList.contains("whole")) {
      var list = all(".c", button.closest(".evening")).map(function (one) { return cells.indexOf(one); });
      go(list[0]);
      choose(list[0], list[list.length - 1]);
    }
  });

  document.addEventListener("submit", function (event) {
    var form = event.target;
    if (form.id === "sheet") {
      event.preventDefault();
      press(event.submitter || form.querySelector("button"));
    } else if (form.classList.contains("undo")) {
      event.preventDefault();
      undo(form);
    } else if (form.classList.contains("sayit")) {
      event.preventDefault();
      var fields = Object.fromEntries(new FormData(form));
      if (event.submitter && event.submitter.name) { fields[event.submitter.name] = event.submitter.value; }
      ["form", "once", "back"].forEach(function (name) { delete fields[name]; });
      say(fields);
    }
  });

  document.addEventListener("keydown", function (event) {
    if ((event.ctrlKey || event.metaKey) && !event.shiftKey && !event.altKey && event.key.toLowerCase() === "z") {
      if (event.target.matches("input:not([type=checkbox]), textarea") && event.target.value !== event.target.defaultValue) { return; }
      event.preventDefault();
      undo(undoForm());
      return;
    }
    var text = event.target.matches("input:not([type=checkbox]), select, textarea");
    if (text) {
      if (event.key === "Escape") { event.target.blur(); nothing(); }
      if (event.key === "Enter" && event.target.closest("#sheet") && event.target.matches("input")) {
        event.preventDefault();
        press({ value: event.target.id === "when" ? "date" : "name" });
        event.target.blur();
      }
      return;
    }
    if (event.ctrlKey || event.metaKey || event.altKey) { return; }
    if (keysOn && event.key === "n" && el("next")) { location.assign(el("next").href); return; }
    if (!cells.length) { return; }
    var letter = keysOn && event.shiftKey && /^[a-z]$/i.test(event.key) ? event.key.toUpperCase() : "";
    var i = letter ? lettered(letter, at) : moved(event.key, Math.max(at, 0), event.shiftKey);
    var inSheet = event.target.closest(".c"), free = event.target === document.body;
    if (i >= 0 && (inSheet || free || letter)) {
      event.preventDefault();
      var from = anchor >= 0 ? anchor : Math.max(at, 0);
      if (free && !event.shiftKey && anchor < 0 && at <= 0 && event.key.indexOf("Arrow") === 0) { i = Math.max(at, 0); }
      go(i);
      input(i).focus({ preventScroll: true });
      cells[i].scrollIntoView({ block: letter ? "center" : "nearest" }); // what comes after it is looked at next
      if (event.shiftKey && !letter) {
        choose(from, i);
      } else if (!held || chosen || spent) {
        spent = held = false;
        anchor = i;
        chosen = null;
        show();
      }
      return;
    }
    if (inSheet && (event.key === " " || event.key === "Enter")) {
      event.preventDefault();
      tap(cells.indexOf(inSheet), null, true);
    } else if (event.key === "Escape") {
      nothing();
    } else if (keysOn && event.key.length === 1 && !event.shiftKey) {
      var key = event.key.toLowerCase();
      if (key === "d" || key === "o") {
        event.preventDefault();
        all(".else").forEach(function (d) { d.open = true; });
        setPanel(true, false);
        field = key === "d" ? "when" : "title"; // once the key is up, so that its letter is not typed into it
        return;
      }
      var button = all("[data-keys]").filter(function (b) { return b.dataset.keys.indexOf(key) >= 0; })[0];
      if (button) { event.preventDefault(); press(button); }
    }
  });

  document.addEventListener("focusin", function (event) { // what is proposed is typed over
    if (event.target.id === "title" && event.target.value && event.target.value === event.target.defaultValue) {
      var title = event.target;
      setTimeout(function () { title.select(); }, 0);
    }
  });
  document.addEventListener("keyup", function () {
    if (field && el(field)) { el(field).focus(); }
    field = "";
  });

  all(".foot").forEach(function (f) {
    f.hidden = false;
    new ResizeObserver(measure).observe(f);
  });
  document.documentElement.classList.add("scripts");
  begin();
})();
