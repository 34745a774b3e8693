// What is said goes to the journal one after the other. While the network is gone
// it waits in this browser, is shown as waiting, and goes out once, in order, when
// it is back: each carries an id, by which the journal knows what it has already.
(function () {
  "use strict";
  var key = "rakelight-waiting";
  var retry = 3000; // ms
  var shown = 10000; // ms an answer stays to be undone
  var lookEvery = 15000; // ms between two looks at what another device said
  var skew = 0; // ms this device's clock is ahead of the journal's
  var sending = false;

  function el(id) { return document.getElementById(id); }

  // Where the browser allows no storage, what waits lives as long as the page.
  var memory = [], unstored = false;
  function waiting() {
    if (unstored) { return memory; }
    try { return JSON.parse(localStorage.getItem(key)) || []; } catch (e) { return memory; }
  }
  function keep(list) {
    memory = list;
    try { localStorage.setItem(key, JSON.stringify(list)); } catch (e) { unstored = true; }
    tellWaiting();
  }
  function drop(id) { keep(waiting().filter(function (one) { return one.id !== id; })); }

  function newID() {
    var bytes = new Uint8Array(16);
    crypto.getRandomValues(bytes);
    return Array.prototype.map.call(bytes, function (b) { return (b < 16 ? "0" : "") + b.toString(16); }).join("");
  }

  function clockOf(page) { return Number(page.body.dataset.now); }

  function tellWaiting() {
    var box = el("waiting");
    if (!box) { return; }
    var list = waiting();
    box.hidden = list.length === 0 || (sending && list.length === 1 && !offline);
    box.replaceChildren(line("span", list.length === 1 ? "Waiting to be sent: " + list[0].words
      : "Waiting to be sent: " + list.length + " entries"));
  }

  var offline = false;

  // wordsOf is what a button says: of a part, which one.
  function wordsOf(button) {
    var words = (button.getAttribute("aria-label") || button.textContent).trim();
    return button.classList.contains("square") ? words.split(",")[0] : words;
  }

  // say puts something on the list, at the moment it is said.
  function say(form, submitter) {
    var fields = new URLSearchParams(new FormData(form));
    if (submitter && submitter.name) { fields.append(submitter.name, submitter.value); }
    fields.delete("form");
    var button = submitter || form.querySelector("button");
    keep(waiting().concat([{
      id: newID(), at: new Date(Date.now() - skew).toISOString().replace(/\.\d+/, ""), to: fields.get("to") || "",
      fields: fields.toString(), words: wordsOf(button)
    }]));
    if (button.classList.contains("square")) { button.classList.add("sending"); }
    send();
  }

  // send sends what waits, one after the other.
  function send() {
    var list = waiting();
    if (sending || list.length === 0) { return; }
    sending = true;
    var one = list[0];
    var body = new URLSearchParams(one.fields);
    body.set("once", one.id);
    body.set("at", one.at);
    fetch("/bench/say", {
      method: "POST", body: body, credentials: "same-origin",
      headers: { "Accept": "application/json", "X-Form": formToken() }
    }).then(function (response) {
      sending = false;
      offline = false;
      // The page is of an earlier run of the journal's server: ask for it again.
      if (response.headers.get("X-Refused") === "form") {
        return look().then(function (fresh) { if (fresh) { send(); } else { later(); } });
      }
      if (response.status === 401) {
        tellWaiting();
        return refuse("This device is not let in any more", "what waits stays here until it is let in again");
      }
      if (response.headers.get("X-Refused") && response.status !== 429) {
        tellWaiting();
        return refuse(one.words + " was not taken here", "open the address that the terminal shows");
      }
      if (response.status === 429 || response.status >= 500) { return later(); }
      return response.json().then(function (answer) {
        drop(one.id);
        if (response.ok) { told(answer); } else { refuse(one.words + ": " + answer.Words, answer.Hint); }
        if (waiting().length > 0) { send(); return null; }
        if (response.ok && one.to && location.pathname + location.search !== one.to) { location.assign(one.to); return null; }
        return refresh();
      });
    }).catch(function () {
      sending = false;
      offline = true;
      later();
    });
  }

  var timer = 0;
  function later() {
    tellWaiting();
    clearTimeout(timer);
    timer = setTimeout(send, retry);
  }

  function formToken() { return document.body.dataset.form; }

  // refresh takes over the page as it is now; look takes over what says who asks and
  // when, and the rest only where nothing is being written or chosen.
  function look() {
    return refresh(document.querySelector("main textarea, main select, main input:not([type=hidden])") !== null);
  }
  function refresh(headOnly) {
    return fetch(location.href, { credentials: "same-origin" }).then(function (response) {
      if (!response.ok) { return false; }
      return response.text().then(function (text) {
        var page = new DOMParser().parseFromString(text, "text/html");
        var now = clockOf(page);
        if (!now) { return false; }
        var y = window.scrollY;
        document.body.dataset.now = page.body.dataset.now;
        document.body.dataset.form = page.body.dataset.form;
        skew = Date.now() - now;
        if (headOnly) { return true; }
        swap("main", page);
        swap(".thumb", page);
        window.scrollTo(0, y);
        clocks();
        return true;
      });
    }).catch(function () { offline = true; return false; });
  }

  function swap(what, page) {
    var here = document.querySelector(what), there = page.querySelector(what);
    if (here && there) {
      here.replaceWith(document.adoptNode(there));
    } else if (here) {
      here.remove();
    } else if (there) {
      document.body.appendChild(document.adoptNode(there));
    }
  }

  // line is words in the bar, cut where they are long; opened is such a line that a tap
  // opens above the bar.
  function line(tag, words) {
    var one = document.createElement(tag);
    one.className = "line";
    one.textContent = words;
    return one;
  }
  function opened(all) {
    var details = document.createElement("details"), summary = document.createElement("summary");
    var whole = document.createElement("div");
    summary.append(line("span", all.join(" ")));
    whole.className = "whole";
    all.forEach(function (words) {
      var one = document.createElement("p");
      one.textContent = words;
      whole.append(one);
    });
    details.append(summary, whole);
    return details;
  }

  // told shows the latest answer in its place, with its undo.
  var leaving = 0;
  function told(answer) {
    var box = el("told");
    if (!box) { return; }
    var one = line("p", answer.Words);
    if (answer.Undo) {
      one = document.createElement("form");
      one.className = "say";
      one.method = "post";
      one.action = "/bench/say";
      [["what", "undo"], ["record", answer.Undo]].forEach(function (pair) {
        var field = document.createElement("input");
        field.type = "hidden";
        field.name = pair[0];
        field.value = pair[1];
        one.appendChild(field);
      });
      var button = document.createElement("button"), words = line("span", " " + answer.Words);
      var undo = document.createElement("b");
      undo.textContent = "Undo";
      words.prepend(undo);
      button.append(words);
      one.appendChild(button);
    }
    var remarks = answer.Remark || [];
    box.replaceChildren(one);
    if (remarks.length > 0) { box.append(opened(remarks)); }
    clearTimeout(leaving);
    leaving = setTimeout(function () { box.replaceChildren(); }, remarks.length > 0 ? 2 * shown : shown);
  }

  function refuse(words, hint) {
    var box = el("refused");
    if (!box) { return; }
    var close = document.createElement("button");
    close.type = "button";
    close.textContent = "Close";
    close.addEventListener("click", function () { box.hidden = true; });
    box.replaceChildren(opened([words + (hint ? "; " + hint : "")]), close);
    box.hidden = false;
  }

  // clocks go on by the minute between two looks at the journal.
  var loaded = Date.now();
  function clocks() {
    loaded = Date.now();
    tick();
  }
  function tick() {
    document.querySelectorAll(".clock").forEach(function (clock) {
      var past = clock.hasAttribute("data-rests") ? 0 : Math.floor((Date.now() - loaded) / 60000);
      var minutes = Number(clock.dataset.minutes) + past;
      clock.textContent = minutes < 60 ? minutes + " min" : Math.floor(minutes / 60) + " h " + minutes % 60 + " min";
    });
  }

  document.addEventListener("submit", function (event) {
    if (!event.target.classList.contains("say")) { return; }
    event.preventDefault();
    say(event.target, event.submitter);
    event.target.querySelectorAll("textarea, input").forEach(function (field) {
      if (field.type === "checkbox" || field.type === "radio") { field.checked = false; }
      else if (field.type !== "hidden") { field.value = ""; }
    });
    // What was undone is not offered again.
    if (event.target.closest("#told")) { event.target.remove(); }
  });
  // A key presses what names it, where nothing is being written.
  document.addEventListener("keydown", function (event) {
    if (event.ctrlKey || event.metaKey || event.altKey || event.repeat || !/^\d$/.test(event.key) ||
      event.target.closest("input, textarea, select")) { return; }
    var named = document.querySelector('main [aria-keyshortcuts="' + event.key + '"]');
    if (named) { event.preventDefault(); named.click(); }
  });
  window.addEventListener("online", send);
  document.addEventListener("visibilitychange", function () {
    if (document.visibilityState === "visible") { send(); if (waiting().length === 0) { look(); } }
  });
  // What another device says shows by itself where nothing is being written.
  setInterval(function () {
    if (document.visibilityState === "visible" && document.querySelector(".runs") && waiting().length === 0) { look(); }
  }, lookEvery);
  window.bench = { told: told, refuse: refuse, token: formToken, look: look };
  skew = Date.now() - clockOf(document);
  clocks();
  setInterval(tick, 10000);
  tellWaiting();
  send();
})();
