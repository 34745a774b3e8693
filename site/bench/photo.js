// Photos go to the journal in pieces, one after the other. Until one is there whole it
// waits in this browser, is shown as waiting, and goes on where it broke off; then it
// is asked for until the journal has taken it in.
(function () {
  "use strict";
  var piece = 1 << 20; // bytes, as render/upload takes them
  var retry = 3000, ask = 1500; // ms
  var patience = 60; // times it is asked whether a photo was taken in
  var sending = false, timer = 0;

  // ---- SHA-256 (FIPS 180-4): crypto.subtle is not there on plain http from another device.

  var K = [], H0 = [];
  (function () {
    for (var n = 2; K.length < 64; n++) {
      var prime = true;
      for (var d = 2; d * d <= n; d++) { if (n % d === 0) { prime = false; break; } }
      if (!prime) { continue; }
      if (H0.length < 8) { H0.push(fraction(Math.sqrt(n))); }
      K.push(fraction(Math.cbrt(n)));
    }
    function fraction(x) { return ((x - Math.floor(x)) * 4294967296) | 0; }
  })();

  function Sha() { this.h = H0.slice(); this.rest = new Uint8Array(64); this.n = 0; this.all = 0; }
  Sha.prototype.add = function (bytes) {
    this.all += bytes.length;
    for (var i = 0; i < bytes.length;) {
      var take = Math.min(64 - this.n, bytes.length - i);
      this.rest.set(bytes.subarray(i, i + take), this.n);
      this.n += take;
      i += take;
      if (this.n === 64) { this.block(); this.n = 0; }
    }
  };
  var w = new Int32Array(64);
  Sha.prototype.block = function () {
    var b = this.rest, h = this.h, i;
    for (i = 0; i < 16; i++) { w[i] = b[4 * i] << 24 | b[4 * i + 1] << 16 | b[4 * i + 2] << 8 | b[4 * i + 3]; }
    for (; i < 64; i++) {
      var x = w[i - 15], y = w[i - 2];
      w[i] = (w[i - 16] + w[i - 7] + ((x >>> 7 | x << 25) ^ (x >>> 18 | x << 14) ^ x >>> 3) +
        ((y >>> 17 | y << 15) ^ (y >>> 19 | y << 13) ^ y >>> 10)) | 0;
    }
    var a = h[0], c1 = h[1], c2 = h[2], d = h[3], e = h[4], f = h[5], g = h[6], k = h[7];
    for (i = 0; i < 64; i++) {
      var t1 = (k + ((e >>> 6 | e << 26) ^ (e >>> 11 | e << 21) ^ (e >>> 25 | e << 7)) + ((e & f) ^ (~e & g)) + K[i] + w[i]) | 0;
      var t2 = (((a >>> 2 | a << 30) ^ (a >>> 13 | a << 19) ^ (a >>> 22 | a << 10)) + ((a & c1) ^ (a & c2) ^ (c1 & c2))) | 0;
      k = g; g = f; f = e; e = (d + t1) | 0; d = c2; c2 = c1; c1 = a; a = (t1 + t2) | 0;
    }
    [a, c1, c2, d, e, f, g, k].forEach(function (v, at) { h[at] = (h[at] + v) | 0; });
  };
  Sha.prototype.hex = function () {
    var all = this.all, end = new Uint8Array((this.n < 56 ? 64 : 128) - this.n);
    end[0] = 0x80;
    new DataView(end.buffer).setUint32(end.length - 8, Math.floor(all / 536870912));
    new DataView(end.buffer).setUint32(end.length - 4, (all * 8) >>> 0);
    this.add(end);
    return this.h.map(function (v) { return ("0000000" + (v >>> 0).toString(16)).slice(-8); }).join("");
  };

  function bytesOf(blob) {
    return new Promise(function (done, failed) {
      var reader = new FileReader();
      reader.onload = function () { done(new Uint8Array(reader.result)); };
      reader.onerror = function () { failed(reader.error); };
      reader.readAsArrayBuffer(blob);
    });
  }

  // hashOf reads a photo piece by piece, so that the page stays alive meanwhile.
  function hashOf(blob) {
    var sum = new Sha();
    function from(at) {
      if (at >= blob.size) { return Promise.resolve(sum.hex()); }
      return bytesOf(blob.slice(at, at + piece)).then(function (bytes) { sum.add(bytes); return from(at + piece); });
    }
    return from(0);
  }

  // ---- What waits. Where the browser allows no storage, it lives as long as the page.

  var memory = {}, opened = null;
  function store() {
    if (opened) { return opened; }
    opened = new Promise(function (done) {
      try {
        var open = indexedDB.open("rakelight-photos", 1);
        open.onupgradeneeded = function () { open.result.createObjectStore("photos", { keyPath: "id" }); };
        open.onsuccess = function () { done(open.result); };
        open.onerror = open.onblocked = function () { done(null); };
      } catch (e) { done(null); }
    });
    return opened;
  }
  function inStore(mode, act) {
    return store().then(function (db) {
      if (!db) { return null; }
      return new Promise(function (done, failed) {
        var tx = db.transaction("photos", mode), asked = act(tx.objectStore("photos"));
        tx.oncomplete = function () { done(asked.result); };
        tx.onerror = tx.onabort = function () { failed(tx.error); };
      });
    });
  }
  function put(photo) {
    memory[photo.id] = photo;
    return inStore("readwrite", function (all) { return all.put(photo); }).then(function (kept) {
      if (kept) { delete memory[photo.id]; }
    }, function () { /* the storage is full: it waits on this page */ });
  }
  function drop(photo) {
    delete memory[photo.id];
    return inStore("readwrite", function (all) { return all.delete(photo.id); }).catch(function () { return null; });
  }
  function list() {
    return inStore("readonly", function (all) { return all.getAll(); }).catch(function () { return null; })
      .then(function (kept) {
        var all = (kept || []).concat(Object.keys(memory).map(function (id) { return memory[id]; }));
        return all.sort(function (a, b) { return a.id < b.id ? -1 : 1; });
      });
  }

  // ---- Sending.

  function tell(words) {
    var box = document.getElementById("photos");
    if (!box) { return; }
    box.hidden = words === "";
    box.textContent = words;
  }
  function named(n) { return n === 1 ? "1 photo" : n + " photos"; }

  function later(ms) {
    clearTimeout(timer);
    timer = setTimeout(next, ms);
  }

  // next goes on with the first photo that is not there yet, else asks for those that are.
  function next() {
    if (sending) { return; }
    sending = true;
    list().then(function (all) {
      var coming = all.filter(function (p) { return !p.sent; });
      if (coming.length > 0) { return goOn(coming[0], coming.length); }
      if (all.length > 0) { return taken(all[0], all.length); }
      tell("");
      return null;
    }).then(function (wait) {
      sending = false;
      if (wait) { later(wait); }
    }, function () {
      sending = false;
      list().then(function (all) {
        tell("Waiting to be sent: " + named(all.filter(function (p) { return !p.sent; }).length));
      });
      later(retry);
    });
  }

  function address(photo, offset) {
    var q = new URLSearchParams(photo.where);
    q.set("name", photo.name);
    q.set("size", photo.size);
    q.set("hash", photo.hash);
    q.set("offset", offset);
    return "/bench/photo?" + q;
  }

  function post(photo, offset, body) {
    return fetch(address(photo, offset), {
      method: "POST", body: body, credentials: "same-origin", headers: { "X-Form": window.bench.token() }
    });
  }

  // goOn sends the pieces that are missing, and answers how long to wait before the next
  // look (ms).
  function goOn(photo, count) {
    if (!photo.hash) {
      tell("Getting " + named(count) + " ready");
      return hashOf(photo.data).then(function (hash) { photo.hash = hash; return put(photo); }).then(function () { return 1; });
    }
    function piecesFrom(offset, body) {
      return post(photo, offset, body).then(function (response) {
        var why = response.headers.get("X-Refused");
        if (why === "form") { return window.bench.look().then(function () { return retry; }); }
        if (why === "device") {
          tell("Waiting to be sent: " + named(count));
          window.bench.refuse("This device is not let in any more", "the photo stays here until it is let in again");
          return 0;
        }
        if (why || response.status === 507 || response.status >= 500) {
          tell("Waiting to be sent: " + named(count));
          return retry;
        }
        return response.json().then(function (answer) {
          if (answer.whole) {
            photo.sent = true;
            photo.data = null;
            return put(photo).then(function () { return 1; });
          }
          if (response.status !== 200 && response.status !== 409) {
            window.bench.refuse(photo.name + ": " + answer.error, "");
            return drop(photo).then(function () { return 1; });
          }
          if (response.status === 409 && answer.have === offset) { return retry; } // another page sends it
          var more = count > 1 ? ", " + (count - 1) + " more" : "";
          tell("Sending a photo: " + Math.floor(100 * answer.have / photo.size) + " %" + more);
          return piecesFrom(answer.have, photo.data.slice(answer.have, answer.have + piece));
        });
      });
    }
    return piecesFrom(0, new Blob([]));
  }

  // taken asks whether the journal has a photo by now.
  function taken(photo, count) {
    return fetch("/bench/taken?hash=" + photo.hash, { credentials: "same-origin" }).then(function (response) {
      if (!response.ok) { throw new Error("no answer"); }
      return response.json();
    }).then(function (answer) {
      photo.asked = (photo.asked || 0) + 1;
      if (answer.taken) {
        window.bench.told({ Words: "Photo taken in: " + answer.words });
        return drop(photo).then(function () { return 1; });
      }
      if (photo.asked > patience) {
        window.bench.told({ Words: photo.name + " lies in the inbox, and is not taken in yet" });
        return drop(photo).then(function () { return 1; });
      }
      tell(named(count) + " sent, being taken in");
      return put(photo).then(function () { return ask; });
    });
  }

  // ---- The page that takes a photo.

  function newID() {
    var random = new Uint32Array(2);
    crypto.getRandomValues(random);
    return Date.now() + "-" + random[0].toString(16) + random[1].toString(16);
  }

  function shoot(form, input) {
    var where = { build: form.dataset.build, role: input.dataset.role };
    ["stage", "view", "light"].forEach(function (name) { where[name] = document.getElementById(name).value; });
    Object.keys(where).forEach(function (name) { if (!where[name]) { delete where[name]; } });
    var chain = Promise.resolve();
    Array.prototype.forEach.call(input.files, function (file, i) {
      var photo = { id: newID() + "-" + i, name: file.name, size: file.size, data: file, where: where };
      chain = chain.then(function () { return put(photo); });
    });
    input.value = "";
    chain.then(next);
  }

  var form = document.getElementById("shoot");
  if (form) {
    // View and light stay as they were: the lamp and the stand stay, too.
    ["view", "light"].forEach(function (name) {
      var field = document.getElementById(name);
      try { field.value = localStorage.getItem("rakelight-" + name) || ""; } catch (e) { /* as it is */ }
      field.addEventListener("change", function () {
        try { localStorage.setItem("rakelight-" + name, field.value); } catch (e) { /* for this photo */ }
      });
    });
    form.querySelectorAll("input[type=file]").forEach(function (input) {
      input.disabled = false;
      input.addEventListener("change", function () { shoot(form, input); });
    });
    form.addEventListener("submit", function (event) { event.preventDefault(); });
  }
  window.addEventListener("online", next);
  window.benchHash = hashOf; // for whoever wants to compare
  next();
})();
