/* What the test asks of the gallery: which words are seen, cut off, or on one another; which pieces leave a drawing. */

const seen = (piece) => getComputedStyle(piece).display !== "none";

/** The letters of a text: its box has room above and below them, which two lines may share. */
function letters(text) {
  const { x, y, width, height } = text.getBBox();
  return { text: text.textContent, left: x, right: x + width, top: y + 0.15 * height, bottom: y + 0.85 * height };
}

/** Each drawing: its name, the texts seen, those cut off, and pairs that stand on one another. */
export const words = () =>
  [...document.querySelectorAll(".draw")].map((box) => {
    const svg = box.querySelector("svg");
    if (!svg) return { name: box.dataset.name, texts: [], wrong: [] };
    const [, , wide, high] = svg.getAttribute("viewBox").split(" ").map(Number);
    const texts = [...svg.querySelectorAll("text")].filter((text) => text.textContent && seen(text)).map(letters);
    const wrong = texts
      .filter(({ left, right, top, bottom }) => left < -0.5 || top < -0.5 || right > wide + 0.5 || bottom > high + 0.5)
      .map(({ text }) => text);
    texts.forEach((one, i) =>
      texts.slice(i + 1).forEach((other) => {
        const across = Math.min(one.right, other.right) - Math.max(one.left, other.left);
        const down = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
        if (across > 0 && down > 0) wrong.push(`${one.text} / ${other.text}`);
      }),
    );
    return { name: box.dataset.name, texts: texts.map(({ text }) => text), wrong };
  });

const PIECES = ".arrow, .moving, .ghost, .instrument, .figure, .dot, .car, .stand path, .head";

/** Pieces that reach beyond what the drawing shows, by more than a line's width. */
export const outside = () =>
  [...document.querySelectorAll(".draw svg.pen")].flatMap((svg) => {
    const [, , wide, high] = svg.getAttribute("viewBox").split(" ").map(Number);
    const { a, e, f } = svg.getScreenCTM();
    return [...svg.querySelectorAll(PIECES)]
      .filter((piece) => piece.tagName !== "g" && seen(piece) && piece.getBBox().width > 0)
      .filter((piece) => {
        const { left, right, top, bottom } = piece.getBoundingClientRect();
        return left < e - 4 || right > e + a * wide + 4 || top < f - 4 || bottom > f + a * high + 4;
      })
      .map((piece) => `${svg.closest(".draw").dataset.name}: ${piece.getAttribute("class")}`);
  });
