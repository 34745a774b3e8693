// A pack of blind pairs: two photos at a time, one answer each, and at the end
// a text to give back. Nothing leaves this page.
"use strict";
(() => {
  const data = JSON.parse(document.getElementById("data").textContent);
  const at = (id) => document.getElementById(id);
  const outcomes = ["left", "right", "no difference", "cannot tell"];
  const total = data.pairs.length;

  // What was said so far. It survives a reload where the browser lets a file
  // keep something; where it does not, everything else works all the same.
  const place = "answers-" + data.pack;
  let own = { sheet: word(8), name: "", said: [] };
  let keeps = false;
  try {
    const kept = JSON.parse(localStorage.getItem(place));
    if (kept && /^[a-z0-9]{8}$/.test(kept.sheet) && typeof kept.name === "string" && Array.isArray(kept.said)
      && kept.said.length <= total && kept.said.every((o) => outcomes.includes(o))) {
      own = { sheet: kept.sheet, name: clean(kept.name), said: kept.said };
    }
  } catch { /* no store here */ }
  keep();

  function keep() {
    try {
      localStorage.setItem(place, JSON.stringify(own));
      keeps = true;
    } catch { keeps = false; }
  }

  function word(n) {
    const letters = "23456789bcdfghjkmnpqrstvwxyz2345";
    let bytes = Array.from({ length: n }, () => Math.floor(Math.random() * 256));
    try { bytes = Array.from(crypto.getRandomValues(new Uint8Array(n))); } catch { /* the others will do */ }
    return bytes.map((b) => letters[b % 32]).join("");
  }

  // The same cleaning as where the text is read.
  function clean(name) {
    return Array.from(name.normalize("NFC").replace(/\s/g, " ").replace(/\p{C}|\ufffd/gu, "").split(" ").filter(Boolean).join(" ")).slice(0, 40).join("").trim();
  }

  function crc32(text) {
    let crc = ~0;
    for (const byte of new TextEncoder().encode(text)) {
      crc ^= byte;
      for (let i = 0; i < 8; i++) crc = (crc >>> 1) ^ (0xedb88320 & -(crc & 1));
    }
    return (~crc >>> 0).toString(16).padStart(8, "0");
  }

  function answers() {
    const lines = ["Rakelight answers 1", "Pack: " + data.pack, "Sheet: " + own.sheet, "Judge: " + own.name];
    own.said.forEach((outcome, i) => lines.push(data.pairs[i].id + " " + outcome));
    lines.push("End: " + own.said.length + " of " + total);
    const text = lines.join("\n");
    return text + ", check " + crc32(text) + "\n";
  }

  function show(id) {
    for (const part of ["start", "judge", "end"]) at(part).hidden = part !== id;
    document.querySelector("main").className = id === "judge" ? "judging" : "narrow";
    scrollTo(0, 0);
  }

  const source = (name) => "data:image/jpeg;base64," + data.pictures[name];
  const [left, right] = document.querySelectorAll("#judge img");

  function pair() {
    const i = own.said.length;
    if (i >= total) { end(); return; }
    const one = data.pairs[i], asked = data.asked[one.asked];
    at("question").textContent = asked.text;
    at("scale").textContent = "Fair: " + asked.two + ". Best: " + asked.four + ".";
    left.src = source(one.left);
    right.src = source(one.right);
    at("bar").value = i;
    at("progress").textContent = "Pair " + (i + 1) + " of " + total;
    at("back").disabled = i === 0;
    at("stop").disabled = i === 0;
    show("judge");
    at("question").focus({ preventScroll: true });
    if (i + 1 < total) { // so that the next two come at once, and together
      for (const name of [data.pairs[i + 1].left, data.pairs[i + 1].right]) new Image().src = source(name);
    }
  }

  function say(outcome) {
    own.said.push(outcome);
    keep();
    pair();
  }

  function back() {
    own.said.pop();
    keep();
    pair();
  }

  function end() {
    const text = answers(), all = own.said.length === total;
    at("thanks").textContent = all ? "Done. Thank you, " + own.name : "So far: " + own.said.length + " of " + total;
    at("how").textContent = "Give this text back to whoever gave you the page: send the file, or paste the text into a message."
      + (all ? "" : " These answers are good as they are; you can also go on.");
    at("text").value = text;
    at("download").href = "data:text/plain;charset=utf-8," + encodeURIComponent(text);
    at("download").download = "answers-" + data.pack + "-" + own.sheet + ".txt";
    at("copied").textContent = "";
    at("kept").textContent = keeps ? "Your answers stay in this browser, also when you close the page." : "This browser keeps nothing for a file: take the text before you close the page.";
    at("again").textContent = all ? "Back to the last pair" : "Go on";
    show("end");
    at("thanks").focus({ preventScroll: true });
  }

  at("begin").addEventListener("submit", (event) => {
    event.preventDefault();
    const name = clean(at("name").value);
    if (!name) { at("name").value = ""; at("name").focus(); return; }
    own.name = name;
    keep();
    pair();
  });
  for (const button of document.querySelectorAll("[data-outcome]")) button.addEventListener("click", () => say(button.dataset.outcome));
  at("back").addEventListener("click", back);
  at("stop").addEventListener("click", end);
  at("again").addEventListener("click", () => (own.said.length === total ? back() : pair()));
  at("copy").addEventListener("click", async () => {
    at("text").select();
    let done = false;
    try { await navigator.clipboard.writeText(at("text").value); done = true; } catch {
      try { done = document.execCommand("copy"); } catch { /* by hand, then */ }
    }
    at("copied").textContent = done ? "Copied." : "It is marked: copy it by hand.";
  });
  const keys = { "1": "left", "2": "right", "3": "no difference", "4": "cannot tell", ArrowLeft: "left", ArrowRight: "right" };
  addEventListener("keydown", (event) => {
    if (at("judge").hidden || event.repeat || event.ctrlKey || event.metaKey || event.altKey) return;
    const outcome = keys[event.key];
    if (outcome) { event.preventDefault(); say(outcome); }
    if ((event.key === "b" || event.key === "B" || event.key === "Backspace") && own.said.length > 0) { event.preventDefault(); back(); }
  });

  at("name").value = own.name;
  if (own.name && own.said.length > 0) pair(); else {
    show("start");
    if (matchMedia("(pointer: fine)").matches) at("name").focus(); // a telephone would cover the words with its keyboard
  }
})();
