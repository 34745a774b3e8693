// The same spots in two pictures: tapped, or set by the keyboard. While a finger
// or the mouse is down a loupe shows what lies under it; the spot is where it is
// lifted.
"use strict";
(function () {
  const most = 3, fewest = 2, zoom = 4;
  const pictures = ["left", "right"].map((id) => document.getElementById(id));
  if (pictures.some((p) => !p)) { return; } // the points are saved
  const at = document.getElementById("at");
  const say = document.getElementById("say");
  const loupe = document.getElementById("loupe");
  const undo = document.getElementById("undo");
  const save = document.getElementById("save");
  const meant = document.getElementById("meant");
  const anyway = document.getElementById("anyway");
  const spots = [[], []]; // of each picture, as shares
  let order = []; // which picture was tapped, in order
  let asked = 0;

  for (const word of at.value.split(" ").filter(Boolean)) {
    word.split("=").forEach((half, i) => { spots[i].push(half.split(",").map(Number)); order.push(i); });
  }

  const crosses = pictures.map((picture) => {
    const cross = document.createElement("span");
    cross.className = "cross";
    cross.hidden = true;
    picture.appendChild(cross);
    return { element: cross, x: 0.5, y: 0.5 };
  });

  function place(element, x, y) {
    element.style.left = 100 * x + "%";
    element.style.top = 100 * y + "%";
  }

  function draw() {
    pictures.forEach((picture, i) => {
      picture.querySelectorAll(".spot").forEach((s) => s.remove());
      spots[i].forEach(([x, y], n) => {
        const spot = document.createElement("span");
        spot.className = "spot";
        spot.appendChild(document.createElement("span")).textContent = String(n + 1);
        place(spot, x, y);
        picture.appendChild(spot);
      });
    });
    const [a, b] = spots.map((s) => s.length);
    undo.disabled = order.length === 0;
    save.disabled = true;
    meant.hidden = true;
    anyway.checked = false;
    at.value = a === b ? spots[0].map((p, n) => p.concat(spots[1][n]).map((v) => v.toFixed(4))).map((v) => v[0] + "," + v[1] + "=" + v[2] + "," + v[3]).join(" ") : "";
    if (a !== b) {
      say.textContent = "Spot " + Math.max(a, b) + ": now the same in the " + (a > b ? "right" : "left") + " picture.";
      return;
    }
    const next = a < most ? "Spot " + (a + 1) + ": tap it in either picture." : "";
    say.textContent = next;
    if (a >= fewest) { fit(next); }
  }

  async function fit(next) {
    const mine = ++asked;
    const answer = await fetch("fit?at=" + encodeURIComponent(at.value));
    const words = await answer.text();
    if (mine !== asked || spots[0].length !== spots[1].length) { return; }
    save.disabled = !answer.ok;
    meant.hidden = answer.status !== 409; // they hardly agree: only if they are meant
    say.textContent = words.trim() + ". " + (answer.ok ? "Save, or: " + (next || "undo.") : "Undo and set it elsewhere.");
  }

  function set(i, x, y) {
    x = Math.min(1, Math.max(0, x));
    y = Math.min(1, Math.max(0, y));
    asked++;
    if (spots[i].length > spots[1 - i].length) {
      spots[i][spots[i].length - 1] = [x, y]; // the same spot again: it was not right
    } else if (spots[i].length < most) {
      spots[i].push([x, y]);
      order.push(i);
    } else {
      say.textContent = "Three spots are enough: save, or undo.";
      return;
    }
    draw();
  }

  function back() {
    if (order.length === 0) { return; }
    asked++;
    spots[order.pop()].pop();
    draw();
  }

  function look(picture, event) {
    const image = picture.querySelector("img");
    const box = image.getBoundingClientRect();
    const x = event.clientX - box.left, y = event.clientY - box.top;
    loupe.hidden = false;
    const side = loupe.offsetWidth;
    loupe.style.backgroundImage = 'url("' + image.src + '")';
    loupe.style.backgroundSize = zoom * box.width + "px " + zoom * box.height + "px";
    loupe.style.backgroundPosition = side / 2 - zoom * x + "px " + (side / 2 - zoom * y) + "px";
    // Above the finger, or below it at the top of the window.
    const above = event.clientY - side - 40;
    loupe.style.left = Math.min(innerWidth - side, Math.max(0, event.clientX - side / 2)) + "px";
    loupe.style.top = (above >= 0 ? above : event.clientY + 40) + "px";
    return [x / box.width, y / box.height];
  }

  pictures.forEach((picture, i) => {
    const cross = crosses[i];
    function show() { place(cross.element, cross.x, cross.y); }
    picture.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) { return; }
      event.preventDefault();
      picture.setPointerCapture(event.pointerId);
      look(picture, event);
    });
    picture.addEventListener("pointermove", (event) => {
      if (picture.hasPointerCapture(event.pointerId)) { look(picture, event); }
    });
    picture.addEventListener("pointerup", (event) => {
      if (!picture.hasPointerCapture(event.pointerId)) { return; }
      const [x, y] = look(picture, event);
      loupe.hidden = true;
      if (x >= 0 && y >= 0 && x <= 1 && y <= 1) { set(i, x, y); }
    });
    picture.addEventListener("pointercancel", () => { loupe.hidden = true; });
    picture.addEventListener("focus", () => { cross.element.hidden = !picture.matches(":focus-visible"); show(); });
    picture.addEventListener("blur", () => { cross.element.hidden = true; });
    picture.addEventListener("keydown", (event) => {
      const step = event.shiftKey ? 0.001 : 0.02;
      const move = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
      if (move) {
        cross.x = Math.min(1, Math.max(0, cross.x + step * move[0]));
        cross.y = Math.min(1, Math.max(0, cross.y + step * move[1]));
        cross.element.hidden = false;
        show();
      } else if (event.key === "Enter" || event.key === " ") {
        set(i, cross.x, cross.y);
      } else {
        return;
      }
      event.preventDefault();
    });
  });
  undo.addEventListener("click", back);
  anyway.addEventListener("change", () => { save.disabled = !anyway.checked; });
  addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.repeat) { return; }
    if (event.key === "u" || event.key === "U") { back(); }
    if ((event.key === "s" || event.key === "S") && !save.disabled) { save.click(); }
  });
  draw();
})();
