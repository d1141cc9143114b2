// Put into the report by `.ci/pages.sh`: works the first plot by its keys, and holds all text against
// its ground. What is wrong goes to the console, which has to stay silent.
(() => {
  const fail = (words) => console.error(words);
  const svg = document.querySelector("figure:has(.readout) svg");
  const readout = () => svg.closest("figure").querySelector(".readout").textContent;
  const press = (key) => svg.dispatchEvent(new KeyboardEvent("keydown", { key }));
  const hint = readout();
  press("ArrowRight");
  if (readout() === hint || !/: -?\d/.test(readout())) fail(`nothing is read out: ${readout()}`);
  press("+");
  if (!svg.querySelector(".over polyline")) fail("nothing is zoomed");
  if (/NaN|undefined/.test(svg.innerHTML + readout())) fail("what is zoomed is no number");
  press("0");
  press("Escape");
  if (svg.querySelector(".over polyline") || readout() !== hint) fail("the plot is not as it was");

  // WCAG 2.1, relative luminance and contrast.
  const luminance = (colour) => {
    const [r, g, b] = colour.match(/[\d.]+/g).map((part) => part / 255)
      .map((c) => (c <= 0.03928 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ground = (element) => {
    const sheet = element.closest("svg")?.querySelector("rect");
    if (sheet) return getComputedStyle(sheet).fill;
    for (let e = element; e; e = e.parentElement) {
      const colour = getComputedStyle(e).backgroundColor;
      if (!/, 0\)$/.test(colour)) return colour;
    }
    return "rgb(255, 255, 255)";
  };
  for (const element of document.querySelectorAll("main *")) {
    const style = getComputedStyle(element);
    const hasText = [...element.childNodes].some((n) => n.nodeType === 3 && n.data.trim());
    if (!hasText || /script|style|title|desc/i.test(element.tagName)) continue;
    const colours = [element.closest("svg") ? style.fill : style.color, ground(element)];
    const [dark, light] = colours.map(luminance).sort((a, b) => a - b);
    const contrast = (light + 0.05) / (dark + 0.05);
    if (contrast < 4.5) fail(`contrast ${contrast.toFixed(2)} of ${colours} in "${element.textContent.trim().slice(0, 30)}"`);
  }
  document.documentElement.dataset.checked = matchMedia("(prefers-color-scheme:dark)").matches ? "dark" : "light";
})();
