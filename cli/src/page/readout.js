// Zooms the plots along their horizontal axis and reads them out under a pointer or the arrow keys.
// Each figure holds its panels as JSON, in pixels of the picture; without this script the picture
// stands as it is.
"use strict";
(() => {
  const NS = "http://www.w3.org/2000/svg";
  // The most that the points of a line bear.
  const MOST_ZOOM = 200;
  const HINT = "Point at the plot to read it, drag across it to zoom. Keys: \u2190 \u2192 move, + \u2212 zoom, 0 shows all.";

  const element = (name, parent, attributes = {}, text = "") => {
    const made = document.createElementNS(NS, name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    made.textContent = text;
    parent.append(made);
    return made;
  };

  // As many decimals as a step of this size has.
  const decimals = (step) => Math.max(0, Math.ceil(-Math.log10(step)));

  // 1, 2 or 5 times a power of ten, so that about `wanted` of them cover `range`.
  const tickStep = (range, wanted) => {
    const power = 10 ** Math.floor(Math.log10(range / wanted));
    return power * [1, 2, 5, 10].find((m) => m * power >= range / wanted);
  };

  // The height of a line, given as x, y, x, y, ..., at an x; undefined beside its ends.
  const heightAt = (run, x) => {
    for (let i = 2; i < run.length; i += 2) {
      if (run[i - 2] <= x && x <= run[i]) {
        const width = run[i] - run[i - 2];
        const part = width > 0 ? (x - run[i - 2]) / width : 1;
        return run[i - 1] + part * (run[i + 1] - run[i - 1]);
      }
    }
    return undefined;
  };

  class Plot {
    constructor(figure, data) {
      Object.assign(this, { figure, panels: data.panels, marks: data.marks, xQuantity: data.x_quantity });
      this.svg = figure.querySelector("svg");
      const [first, last] = [this.panels[0], this.panels[this.panels.length - 1]];
      this.box = { left: first.frame[0], top: first.frame[1], right: first.frame[2], bottom: last.frame[3] };
      this.whole = [this.box.left, this.box.right];
      this.span = this.whole;
      this.cursor = undefined;
      const scale = this.svg.viewBox.baseVal.width / this.svg.width.baseVal.value;
      this.layer = element("g", this.svg, { class: "over", transform: `scale(${scale})` });
      this.zoomed = element("g", this.layer);
      this.pointer = element("g", this.layer);
      this.addClips();
      this.addControls();
      this.listen();
    }

    addClips() {
      this.panels.forEach((panel, i) => {
        const [x, y, right, bottom] = panel.frame;
        const clip = element("clipPath", this.layer, { id: `${this.figure.id}-clip-${i}` });
        element("rect", clip, { x, y, width: right - x, height: bottom - y });
      });
    }

    addControls() {
      const bar = document.createElement("div");
      bar.className = "controls";
      const actions = [["zoom in", () => this.zoom(0.5)], ["zoom out", () => this.zoom(2)], ["show all", () => this.show(this.whole)]];
      for (const [words, act] of actions) {
        const button = document.createElement("button");
        button.type = "button";
        button.textContent = words;
        button.addEventListener("click", act);
        bar.append(button);
      }
      this.readout = document.createElement("div");
      this.readout.className = "readout";
      this.readout.setAttribute("aria-live", "polite");
      this.readout.textContent = HINT;
      this.figure.append(bar, this.readout);
      this.svg.setAttribute("tabindex", "0");
    }

    listen() {
      let from;
      this.svg.addEventListener("pointerdown", (event) => {
        from = this.placeOf(event);
        this.svg.setPointerCapture(event.pointerId);
      });
      this.svg.addEventListener("pointermove", (event) => this.point(this.placeOf(event), from, this.heightOf(event)));
      this.svg.addEventListener("pointerup", (event) => {
        const to = this.placeOf(event);
        if (from !== undefined && Math.abs(to - from) > 5) {
          this.show([from, to].sort((a, b) => a - b).map((x) => this.unzoomed(x)));
        }
        from = undefined;
      });
      this.svg.addEventListener("pointercancel", () => (from = undefined));
      this.svg.addEventListener("pointerleave", () => from === undefined && this.point(undefined));
      this.svg.addEventListener("dblclick", () => this.show(this.whole));
      this.svg.addEventListener("keydown", (event) => this.press(event));
    }

    press(event) {
      const { left, right } = this.box;
      const step = (event.shiftKey ? 0.1 : 0.005) * (right - left);
      const at = this.cursor ?? 0.5 * (left + right);
      const acts = {
        ArrowLeft: () => this.point(Math.max(left, at - step)),
        ArrowRight: () => this.point(Math.min(right, at + step)),
        Home: () => this.point(left),
        End: () => this.point(right),
        "+": () => this.zoom(0.5),
        "=": () => this.zoom(0.5),
        "-": () => this.zoom(2),
        0: () => this.show(this.whole),
        Escape: () => this.point(undefined),
      };
      const act = event.ctrlKey || event.metaKey || event.altKey ? undefined : acts[event.key];
      if (act) {
        event.preventDefault();
        act();
      }
    }

    // Where in the picture a pointer is: along the axis, kept within the panels, and across.
    pixelOf(event) {
      return new DOMPoint(event.clientX, event.clientY).matrixTransform(this.layer.getScreenCTM().inverse());
    }
    placeOf(event) {
      return Math.min(this.box.right, Math.max(this.box.left, this.pixelOf(event).x));
    }
    heightOf(event) {
      return this.pixelOf(event).y;
    }

    // From the place on the picture to that on the whole picture, and back.
    unzoomed(x) {
      const [low, high] = this.span;
      return low + ((x - this.box.left) / (this.box.right - this.box.left)) * (high - low);
    }
    moved(x) {
      const [low, high] = this.span;
      return this.box.left + ((x - low) / (high - low)) * (this.box.right - this.box.left);
    }

    zoom(factor) {
      const middle = this.unzoomed(this.cursor ?? 0.5 * (this.box.left + this.box.right));
      const part = (middle - this.span[0]) / (this.span[1] - this.span[0]);
      const width = factor * (this.span[1] - this.span[0]);
      this.show([middle - part * width, middle + (1 - part) * width]);
    }

    show([low, high]) {
      const least = (this.whole[1] - this.whole[0]) / MOST_ZOOM;
      const middle = 0.5 * (low + high);
      const half = 0.5 * Math.max(least, high - low);
      this.span = [Math.max(this.whole[0], middle - half), Math.min(this.whole[1], middle + half)];
      this.drawZoomed();
      this.point(this.cursor);
    }

    isWhole() {
      return this.span[1] - this.span[0] >= 0.999 * (this.whole[1] - this.whole[0]);
    }

    drawZoomed() {
      this.zoomed.replaceChildren();
      if (this.isWhole()) return;
      const { left, top, right, bottom } = this.box;
      const clear = (x, y, width, height) => element("rect", this.zoomed, { x, y, width, height, fill: "#FFFFFF" });
      const highest = Math.min(top - 22, ...this.marks.map((mark) => mark.y - 11));
      clear(left - 1, highest, right - left + 2, bottom + 5 - highest);
      clear(left - 20, bottom + 6, right - left + 28, 15);
      if (this.marks.length > 0) clear(left - 46, highest, this.svg.width.baseVal.value - left + 26, top - 22 - highest);
      for (const mark of this.marks) this.drawMark(mark);
      this.panels.forEach((panel, i) => this.drawPanel(panel, i));
    }

    isShown(x) {
      return this.span[0] <= x && x <= this.span[1];
    }

    drawMark(mark) {
      if (!this.isShown(mark.x)) return;
      const x = this.moved(mark.x);
      const down = (y1, y2) => element("line", this.zoomed, { x1: x, x2: x, y1, y2, stroke: "#A9B3BB" });
      if (mark.label === "") {
        for (const { frame } of this.panels) down(frame[1], frame[1] + 6);
        return;
      }
      down(mark.y - 10, this.box.bottom);
      const aside = mark.anchor === "start" ? 4 : -4;
      this.write(x + aside, mark.y, mark.label, { "text-anchor": mark.anchor, fill: "#5A6670" });
    }

    write(x, y, text, attributes) {
      const size = attributes["font-size"] ?? 11;
      element("text", this.zoomed, { x, y, "font-size": size, ...attributes }, text);
    }

    drawPanel(panel, i) {
      const [left, top, right, bottom] = panel.frame;
      const across = (y, attributes) => element("line", this.zoomed, { x1: left, x2: right, y1: y, y2: y, ...attributes });
      for (const y of panel.rules) across(y, { stroke: "#E3E7EA" });
      element("rect", this.zoomed, { x: left, y: top - 19, width: 6.2 * panel.quantity.length, height: 14, fill: "#FFFFFF" });
      this.write(left, top - 8, panel.quantity, { "font-size": 12, fill: "#5A6670" });
      for (const guide of panel.guides) across(guide.y, this.strokeOf(guide));
      const inside = element("g", this.zoomed, { "clip-path": `url(#${this.figure.id}-clip-${i})` });
      for (const line of panel.lines) this.drawBand(line, inside);
      for (const line of panel.lines) {
        for (const run of line.runs) {
          element("polyline", inside, { points: this.movedRun(run), fill: "none", "stroke-linejoin": "round", ...this.strokeOf(line) });
        }
      }
      for (const note of panel.notes.filter((n) => this.isShown(n.x))) {
        this.write(this.moved(note.x), note.y - 6, note.label, { fill: note.colour });
      }
      this.drawTicks(panel, bottom, i + 1 === this.panels.length);
    }

    strokeOf(line) {
      return { stroke: line.colour, "stroke-width": line.width, "stroke-dasharray": line.dash };
    }

    movedRun(run) {
      return run.map((value, i) => (i % 2 === 0 ? this.moved(value) : value)).join(" ");
    }

    drawBand(line, parent) {
      const [low, high] = line.band;
      if (low.length === 0) return;
      const back = [];
      for (let i = low.length - 2; i >= 0; i -= 2) back.push(low[i], low[i + 1]);
      element("polygon", parent, { points: this.movedRun([...high, ...back]), fill: line.colour, opacity: 0.16 });
    }

    drawTicks(panel, bottom, withNumbers) {
      const [low, high] = this.span.map((x) => this.number(panel, x));
      const step = tickStep(high - low, 8);
      const { left, right } = this.box;
      element("line", this.zoomed, { x1: left, x2: right, y1: bottom, y2: bottom, stroke: "#222B33" });
      for (let n = Math.ceil(low / step); n * step <= high; n += 1) {
        const x = left + ((n * step - low) / (high - low)) * (right - left);
        element("line", this.zoomed, { x1: x, x2: x, y1: bottom, y2: bottom + 4, stroke: "#222B33" });
        const text = (n * step).toFixed(decimals(step));
        if (withNumbers) this.write(x, bottom + 18, text, { "text-anchor": "middle", "font-size": 12, fill: "#222B33" });
      }
    }

    // The horizontal number at a place on the whole picture.
    number(panel, x) {
      const [left, , right] = panel.frame;
      return panel.x[0] + ((x - left) / (right - left)) * (panel.x[1] - panel.x[0]);
    }

    point(x, from, height) {
      this.cursor = x;
      this.pointer.replaceChildren();
      if (x === undefined) {
        this.readout.textContent = HINT;
        return;
      }
      const { top, bottom } = this.box;
      if (from !== undefined) {
        const [low, high] = [from, x].sort((a, b) => a - b);
        element("rect", this.pointer, { x: low, y: top, width: high - low, height: bottom - top, class: "picked" });
      }
      element("line", this.pointer, { x1: x, x2: x, y1: top, y2: bottom, class: "cursor" });
      this.read(x, height);
    }

    read(x, height) {
      const place = this.unzoomed(x);
      const first = this.panels[0];
      const pixel = ((first.x[1] - first.x[0]) / (this.whole[1] - this.whole[0])) * ((this.span[1] - this.span[0]) / (this.whole[1] - this.whole[0]));
      const head = `${this.xQuantity}: ${this.number(first, place).toFixed(decimals(pixel))}`;
      const rows = this.panels.map((panel) => this.readPanel(panel, place, x, height)).filter((row) => row);
      this.readout.replaceChildren(...[head, ...rows].map((text) => {
        const row = document.createElement("div");
        row.textContent = text;
        return row;
      }));
    }

    readPanel(panel, place, x, height) {
      const [, top, , bottom] = panel.frame;
      const perPixel = (panel.y[1] - panel.y[0]) / (bottom - top);
      // A line is known to about a tenth of a pixel.
      const digits = decimals(0.5 * perPixel);
      const value = (y) => (panel.y[0] + (bottom - y) * perPixel).toFixed(digits);
      const at = (runs) => runs.map((run) => heightAt(run, place)).find((y) => y !== undefined);
      const known = panel.lines.filter((line) => line.rises && line.name).map((line) => [line, at(line.runs)]);
      const read = known.filter(([, y]) => y !== undefined).map(([line, y]) => {
        element("circle", this.pointer, { cx: x, cy: y, r: 3.5, fill: line.colour });
        const ends = line.band.map((edge) => at([edge])).filter((end) => end !== undefined);
        const band = ends.length === 2 ? ` (${value(ends[0])} .. ${value(ends[1])})` : "";
        return `${line.name} ${value(y)}${band}`.trim();
      });
      // Lines that turn back have no one value here: the pointer's own height is read.
      const isAt = known.length === 0 && top <= height && height <= bottom;
      const words = isAt ? [`${value(height)} at the pointer`] : read;
      return words.length > 0 && `${panel.quantity}: ${words.join("; ")}`;
    }
  }

  for (const figure of document.querySelectorAll("figure")) {
    const data = figure.querySelector('script[type="application/json"]');
    if (data) new Plot(figure, JSON.parse(data.textContent));
  }
})();
