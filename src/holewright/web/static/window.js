// Moves the point in the window by pointer and by keys, and asks what comes of it.

const place = document.getElementById("window");
const source = document.getElementById("window-data");
if (place && source) {
  const data = JSON.parse(source.textContent);
  const panel = document.getElementById("point");
  const form = document.getElementById("setting");
  const own = { v_c: data.v_c, f: data.f };
  const at = { ...own };
  const pictures = [...place.querySelectorAll("svg")];
  const perInch = form.elements.namedItem("in").value === "in";
  let latest = 0;
  let asking = false;
  let wanted = false;

  const clamp = (value, [low, high]) => Math.min(Math.max(value, low), high);
  const between = (low, high, share) => low * (high / low) ** share;

  function draw() {
    pictures.forEach((picture, i) => {
      const frame = data.frames[i];
      const [a, b] = frame.v_c;
      const [c, d] = frame.f;
      const x = frame.left + (Math.log(at.v_c / a) / Math.log(b / a)) * (frame.right - frame.left);
      const y = frame.bottom - (Math.log(at.f / c) / Math.log(d / c)) * (frame.bottom - frame.top);
      const dot = picture.querySelector(".point circle");
      dot.setAttribute("cx", x);
      dot.setAttribute("cy", y);
    });
    const v_c = perInch ? at.v_c / 0.3048 : at.v_c;
    const f = perInch ? at.f / 25.4 : at.f;
    form.elements.namedItem("v_c").value = v_c.toFixed(perInch ? 0 : 1).replace(/\.0$/, "");
    form.elements.namedItem("f").value = f.toFixed(perInch ? 4 : 3).replace(/^0(?=\.)/, perInch ? "" : "0");
  }

  // One question at a time; while one is under way the newest point waits, older ones are dropped.
  async function ask() {
    if (asking) {
      wanted = true;
      return;
    }
    asking = true;
    const mine = ++latest;
    try {
      const answer = await fetch(`${place.dataset.url}?v_c=${at.v_c.toFixed(3)}&f=${at.f.toFixed(5)}`);
      if (answer.ok && mine === latest) {
        panel.innerHTML = await answer.text();
        panel.dataset.for = `${at.v_c.toFixed(3)} ${at.f.toFixed(5)}`;
      }
    } catch {
      // No network: the last answer stays, the point has moved on by sight only.
    }
    asking = false;
    if (wanted) {
      wanted = false;
      ask();
    }
  }

  function move(v_c, f) {
    at.v_c = clamp(v_c, data.frames[0].v_c);
    at.f = clamp(f, data.frames[0].f);
    draw();
    ask();
  }

  function fromPointer(event) {
    const i = pictures.findIndex((picture) => picture.getBoundingClientRect().width > 0);
    const box = pictures[i].getBoundingClientRect();
    const scale = pictures[i].viewBox.baseVal.width / box.width;
    const frame = data.frames[i];
    const across = ((event.clientX - box.left) * scale - frame.left) / (frame.right - frame.left);
    const up = (frame.bottom - (event.clientY - box.top) * scale) / (frame.bottom - frame.top);
    move(between(...frame.v_c, clamp(across, [0, 1])), between(...frame.f, clamp(up, [0, 1])));
  }

  place.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    place.setPointerCapture(event.pointerId);
    place.focus({ preventScroll: true });
    fromPointer(event);
    event.preventDefault();
  });
  place.addEventListener("pointermove", (event) => {
    if (place.hasPointerCapture(event.pointerId)) fromPointer(event);
  });
  place.addEventListener("keydown", (event) => {
    const step = event.shiftKey ? 1.1 : 1.01;
    if (event.key === "ArrowRight") move(at.v_c * step, at.f);
    else if (event.key === "ArrowLeft") move(at.v_c / step, at.f);
    else if (event.key === "ArrowUp") move(at.v_c, at.f * step);
    else if (event.key === "ArrowDown") move(at.v_c, at.f / step);
    else if (event.key === "Home") move(own.v_c, own.f);
    else return;
    event.preventDefault();
  });
}
