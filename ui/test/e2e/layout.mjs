// The rules of layout, measured on the screen as it stands; answers with what breaks them.
export const kReach = 48;
export const kApart = 8;
export const kTextSize = 16;

export const layoutFaults = (page) => page.evaluate(measured, { reach: kReach, apart: kApart, textSize: kTextSize });

/** Runs in the page. */
function measured({ reach, apart, textSize }) {
  const faults = [];
  const shown = (e) => e.checkVisibility({ checkOpacity: true, checkVisibilityCSS: true }) && e.getClientRects().length > 0;
  const words = (e) => (e.getAttribute("aria-label") || e.innerText || e.id || e.outerHTML).replace(/\s+/g, " ").slice(0, 60);

  const width = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > width) {
    const wide = [...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > width + 0.5);
    faults.push(`scrolls sideways: ${document.documentElement.scrollWidth} > ${width}, ${wide.map(words).slice(-2)}`);
  }

  // A label is what is tapped of its tick box; a link in running text is as high as the text.
  const inRunningText = (e) =>
    e.matches("a") && getComputedStyle(e).display === "inline" && e.parentElement.innerText.trim() !== e.innerText.trim();
  const tapped = (e) => (e.matches("input[type=radio], input[type=checkbox], input[type=file]") ? e.closest("label") : e);
  const things = "a[href], button, input, select, textarea, summary, [role=button]";
  const targets = [...new Set([...document.querySelectorAll(things)].filter((e) => !inRunningText(e)).map(tapped))].filter(shown);
  const boxes = targets.map((e) => ({ e, box: e.getBoundingClientRect() }));
  for (const { e, box } of boxes)
    if (box.width < reach - 0.05 || box.height < reach - 0.05)
      faults.push(`small: ${words(e)} is ${box.width.toFixed(1)} x ${box.height.toFixed(1)}`);

  // Parts lie close in the drawing; the list below it has them all. Head and foot lie over what scrolls beneath.
  const layer = (e) => e.closest(".head, .foot") ?? document.querySelector("main");
  const spread = boxes.filter(({ e }) => !e.closest("svg"));
  for (const [i, a] of spread.entries())
    for (const b of spread.slice(i + 1)) {
      if (layer(a.e) !== layer(b.e)) continue;
      const across = Math.max(a.box.left - b.box.right, b.box.left - a.box.right, 0);
      const down = Math.max(a.box.top - b.box.bottom, b.box.top - a.box.bottom, 0);
      if (Math.hypot(across, down) < apart - 0.05) faults.push(`close: ${words(a.e)} and ${words(b.e)}, ${across.toFixed(1)} x ${down.toFixed(1)}`);
    }

  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let text = texts.nextNode(); text; text = texts.nextNode()) {
    const around = text.parentElement;
    if (text.data.trim() === "" || around.closest("svg, script, style, option") || !shown(around)) continue;
    const size = parseFloat(getComputedStyle(around).fontSize);
    if (size < textSize) faults.push(`text of ${size} px: ${text.data.trim().slice(0, 40)}`);
  }
  return [...new Set(faults)];
}
