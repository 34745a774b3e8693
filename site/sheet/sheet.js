// Then and now: any two prints, picked by tap or by key, stand side by side; the
// sheet is narrowed by criterion, view, light and years, and its address says so. A
// narrowed sheet is made from small scripts beside the page, one a year, because a
// page opened from disk can read nothing else. Without this script the sheet stands
// as it was written.
(function () {
  "use strict";
  var say = window.rakelightSay;
  var grid = document.querySelector("[data-picks]");
  var says = document.getElementById("pick-says");
  if (!grid || !says) { return; }
  var here = document.currentScript.src.replace(/assets\/[^\/]*$/, "");

  // Two prints, by their digits. What is picked stays so when the sheet is narrowed.
  var picked = [];
  function at(digits) { return picked.findIndex(function (one) { return one.photo === digits; }); }
  function address(a, b) {
    if (a.build && b.build && a.kind === b.kind) {
      var links = document.querySelectorAll('[data-kind="' + a.kind + '"] a[data-a]');
      for (var i = 0; i < links.length; i++) {
        var x = links[i].getAttribute("data-a"), y = links[i].getAttribute("data-b");
        if ((x === a.build && y === b.build) || (x === b.build && y === a.build)) { return links[i].href; }
      }
    }
    return here + "compare.html#a=" + a.photo + "&b=" + b.photo;
  }
  function open() { window.location.href = address(picked[0], picked[1]); }
  function press() {
    grid.querySelectorAll("button.pick").forEach(function (button) {
      button.setAttribute("aria-pressed", String(at(button.closest("[data-photo]").getAttribute("data-photo")) >= 0));
    });
    grid.querySelectorAll(".picked").forEach(function (cell) { cell.classList.remove("picked"); });
    grid.querySelectorAll('button[aria-pressed="true"]').forEach(function (button) { button.closest("[data-photo]").classList.add("picked"); });
  }
  function pick(cell) {
    var image = cell.querySelector("img"), photo = cell.getAttribute("data-photo"), was = at(photo);
    if (!photo || !image) { return; }
    if (was >= 0) {
      picked.splice(was, 1);
    } else {
      picked = picked.slice(0, 1).concat({ photo: photo, name: image.alt, build: cell.getAttribute("data-build"), kind: cell.closest("[data-kind]").getAttribute("data-kind") });
    }
    press();
    says.textContent = picked.length === 2 ? say("Picked: %s; and %s. Enter opens both.", picked[0].name, picked[1].name) :
      picked.length ? say("Picked: %s. Pick another one.", picked[0].name) : say("Nothing is picked.");
  }
  // A tap on the second print opens both.
  function addButtons(within) {
    within.querySelectorAll("[data-photo]").forEach(function (cell) {
      var image = cell.querySelector("img"), button = document.createElement("button"), name = document.createElement("span");
      if (!image || cell.querySelector("button.pick")) { return; }
      button.type = "button";
      button.className = "pick";
      button.textContent = say("Pick");
      name.className = "unseen";
      name.textContent = " " + image.alt;
      button.appendChild(name);
      button.addEventListener("click", function () {
        pick(cell);
        if (picked.length === 2) { open(); }
      });
      cell.appendChild(button);
    });
    press();
  }

  // Keys, while a cell has the focus.
  function cells() {
    return Array.prototype.map.call(grid.querySelectorAll("tbody tr:not([hidden])"), function (row) { return Array.prototype.slice.call(row.cells, 1); });
  }
  function filled(cell) { return cell && cell.childElementCount > 0; }
  function focusOn(cell) {
    var on = cell.querySelector("a") || cell;
    if (on === cell) { cell.tabIndex = -1; }
    on.focus();
    cell.scrollIntoView({ block: "nearest", inline: "nearest" });
  }
  function walk(cell, key) {
    var rows = cells(), y = rows.findIndex(function (row) { return row.indexOf(cell) >= 0; }), x = y < 0 ? 0 : rows[y].indexOf(cell);
    if (y < 0) { // not a table: one line of prints
      var all = Array.prototype.slice.call(grid.children);
      rows = [all];
      y = 0;
      x = all.indexOf(cell);
    }
    var way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[key];
    if (key === "Home") { x = -1; way = [1, 0]; }
    if (key === "End") { x = rows[y].length; way = [-1, 0]; }
    do { // empty cells are passed over
      x += way[0];
      y += way[1];
    } while (rows[y] && x >= 0 && x < rows[y].length && !filled(rows[y][x]));
    if (!rows[y] || !rows[y][x]) { return false; }
    focusOn(rows[y][x]);
    return true;
  }
  grid.addEventListener("keydown", function (event) {
    var cell = event.target.closest("td, .cells > li");
    if (!cell || event.altKey || event.ctrlKey || event.metaKey) { return; }
    if (/^Arrow|^Home$|^End$/.test(event.key)) {
      if (!walk(cell, event.key)) { return; }
    } else if (event.key.toLowerCase() === "p") {
      pick(cell);
    } else if (event.key === "Enter" && picked.length === 2) {
      open();
    } else if (event.key === "Escape" && picked.length) {
      picked = [];
      press();
      says.textContent = say("Nothing is picked.");
    } else {
      return;
    }
    event.preventDefault();
  });
  // Coming back by the browser's own way leaves nothing half picked.
  window.addEventListener("pageshow", function () {
    picked = [];
    press();
    says.textContent = "";
  });
  document.getElementById("pick-help").hidden = false;
  addButtons(grid);

  // The filters.
  var box = document.getElementById("filters");
  if (!box) { return; }
  var form = box.querySelector("form"), told = document.getElementById("filter-says");
  var head = grid.querySelector("thead tr"), rows = Array.prototype.slice.call(grid.querySelectorAll("tbody tr"));
  var years = (grid.getAttribute("data-years") || "").split(" ").filter(Boolean);
  var written = [head].concat(rows).map(function (row) { return Array.prototype.slice.call(row.cells, 1); });
  var columns = {}, run = 0;
  window.rakelightSheet = function (year, some) { columns[year] = some; };

  function el(name, className, text) {
    var e = document.createElement(name);
    if (className) { e.className = className; }
    if (text) { e.textContent = text; }
    return e;
  }
  function put(e) {
    for (var i = 1; i < arguments.length; i++) { e.appendChild(typeof arguments[i] === "string" ? document.createTextNode(arguments[i]) : arguments[i]); }
    return e;
  }
  function load(some, then) {
    var left = some.filter(function (year) { return !columns[year]; });
    var wait = left.length;
    if (!wait) { then(); }
    left.forEach(function (year) {
      var script = document.createElement("script");
      script.src = here + "data/sheet-" + year + ".js";
      script.onload = script.onerror = function () { if (!--wait) { then(); } };
      document.head.appendChild(script);
    });
  }

  // The same cells as the page is written with.
  function headOf(column) {
    var cell = el("th", column.shade), link = el("a"), swatch = written[0][0].querySelector(".swatch").cloneNode(true);
    cell.scope = "col";
    link.href = column.href;
    swatch.setAttribute("class", "swatch " + column.shade);
    return put(cell, put(link, swatch, " ", el("span", "col-year", column.year), " ", el("span", "col-title", column.title)));
  }
  function cellOf(column, cell, photo, criterion) {
    var td = el("td", column.shade), mark = cell.marks && cell.marks[criterion];
    if (photo) {
      var link = el("a", "cell-print"), image = el("img");
      td.setAttribute("data-photo", photo.digits);
      link.href = photo.href;
      image.loading = "lazy";
      image.width = photo.width;
      image.height = photo.height;
      image.alt = photo.alt;
      image.src = "photos/" + photo.digits + "-480.jpg";
      put(td, put(link, image));
      if (photo.role) { put(td, put(el("p", "cell-role"), el("strong", "", photo.role), " ", el("span", "soft", photo.detail))); }
    }
    if (cell.pace) { put(td, put(el("p", "cell-pace", cell.pace + " "), el("span", "soft", cell.n), " ", el("span", cell.mark, cell.known))); }
    if (mark) {
      var to = el("a", "", say("mark %s of 4", mark.mean));
      to.href = mark.href;
      put(td, put(el("p", "cell-mark"), to, " ", el("span", "soft", mark.n)));
    }
    return td;
  }
  function fill(row, cells) {
    while (row.cells.length > 1) { row.removeChild(row.lastElementChild); }
    cells.forEach(function (cell) { row.appendChild(cell); });
  }

  function asks() {
    var is = {};
    Array.prototype.forEach.call(form.elements, function (field) { if (field.name && field.value) { is[field.name] = field.value; } });
    return is;
  }
  // The columns that are asked for: of years all, else those that the page has.
  function chosen(is) {
    var all = [];
    years.forEach(function (year) { (columns[year] || []).forEach(function (one) { all.push(one); }); });
    all.sort(function (a, b) { var x = a.first || "9999", y = b.first || "9999"; return x < y ? -1 : x > y ? 1 : a.href < b.href ? -1 : 1; });
    if (is.from || is.to) {
      return all.filter(function (one) { return one.year && one.year >= (is.from || "") && one.year <= (is.to || "9999"); });
    }
    if (is.builds) { return all; }
    var shown = written[0].map(function (cell) { return cell.querySelector("a").getAttribute("href"); });
    return all.filter(function (one) { return shown.indexOf(one.href) >= 0; });
  }
  function tell() {
    var n = 0, stages = rows.filter(function (row) { return !row.hidden; }).length;
    rows.forEach(function (row) { if (!row.hidden) { n += row.querySelectorAll("td img").length; } });
    told.textContent = say("Shown: %s of %s in %s.", say.count(n, "photo"), say.count(head.cells.length - 1, "build"), say.count(stages, "stage")) +
      (stages ? "" : " " + say("Nothing in the journal fits."));
  }
  function narrow(is) {
    var some = chosen(is), byPhoto = is.view || is.light;
    function photoOf(cell) {
      return (cell.photos || []).filter(function (one) { return (!is.view || one.view === is.view) && (!is.light || one.light === is.light); })[0];
    }
    function cellIn(column, row) {
      var cell = column.cells[row.getAttribute("data-kind")];
      if (is.criterion && row.getAttribute("data-criteria").split(" ").indexOf(is.criterion) < 0) { return null; }
      return cell && (!byPhoto || photoOf(cell)) ? cell : null;
    }
    some = some.filter(function (column) { return rows.some(function (row) { return cellIn(column, row); }); });
    fill(head, some.map(headOf));
    rows.forEach(function (row) {
      var any = false;
      fill(row, some.map(function (column) {
        var cell = cellIn(column, row);
        any = any || cell;
        return cell ? cellOf(column, cell, photoOf(cell), is.criterion || "") : el("td");
      }));
      row.hidden = !any;
    });
    grid.classList.toggle("sheet-wide", some.length > 5);
    grid.scrollLeft = 0;
  }
  function show(quiet) {
    var is = asks(), any = Object.keys(is).length > 0, mine = ++run;
    if (!any) {
      fill(head, written[0]);
      rows.forEach(function (row, i) { fill(row, written[i + 1]); row.hidden = false; });
      grid.classList.toggle("sheet-wide", written[0].length > 5);
      press();
      told.textContent = "";
      if (!quiet) { tell(); }
      return;
    }
    var wanted = is.from || is.to ? years.filter(function (year) { return year >= (is.from || "") && year <= (is.to || "9999"); }) : years;
    load(wanted, function () {
      if (mine !== run) { return; } // asked for something else meanwhile
      narrow(is);
      addButtons(grid);
      tell();
    });
  }
  function fromAddress() {
    var hash = window.location.hash.slice(1), is = new URLSearchParams(hash.indexOf("=") > 0 ? hash : "");
    Array.prototype.forEach.call(form.elements, function (field) {
      if (!field.name) { return; }
      field.value = is.get(field.name) || "";
      if (field.selectedIndex < 0) { field.value = ""; }
    });
    if (is.toString()) { box.open = true; }
    show(true);
  }
  function toAddress() {
    var words = new URLSearchParams(asks()).toString();
    window.history.replaceState(null, "", words ? "#" + words : window.location.pathname + window.location.search);
  }
  form.addEventListener("change", function () { toAddress(); show(); });
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  form.addEventListener("reset", function () { window.setTimeout(function () { toAddress(); show(); }, 0); });
  window.addEventListener("hashchange", function () {
    var hash = window.location.hash;
    if (hash.length < 2 || hash.indexOf("=") > 0) { fromAddress(); } // else it is a row
  });
  var latest = document.querySelector('a[href="#latest"]');
  if (latest) { // without a change of the address, which has the filters
    latest.addEventListener("click", function (event) {
      event.preventDefault();
      grid.scrollLeft = grid.scrollWidth;
      grid.focus({ preventScroll: true });
    });
  }
  box.hidden = false;
  box.open = window.matchMedia("(min-width: 62rem)").matches;
  fromAddress();
})();
