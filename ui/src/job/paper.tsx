// The job sheet's HTML, shown in the page: its text and tables only, put together anew, so that nothing of it can run.
import { h, type ComponentChildren, type VNode } from "preact";

// Headings one deeper: the page has its own title.
const shownAs: Record<string, string> = {
  H1: "h2",
  H2: "h3",
  H3: "h4",
  ...Object.fromEntries(
    [
      "p",
      "ul",
      "ol",
      "li",
      "dl",
      "dt",
      "dd",
      "table",
      "thead",
      "tbody",
      "tr",
      "th",
      "td",
      "section",
      "blockquote",
      "figcaption",
      "footer",
    ].map((tag) => [tag.toUpperCase(), tag === "footer" || tag === "section" || tag === "figcaption" ? "div" : tag]),
  ),
};
const left = new Set(["STYLE", "SCRIPT", "COLGROUP", "IMG", "TITLE"]);

export function Paper({ html }: { html: string }): VNode {
  // Its own style is not wanted here, and merely parsing it would break the page's rule against inline styles.
  const plain = html.replace(/<style[^]*?<\/style>/g, "").replace(/ style="[^"]*"/g, "");
  const sheet = new DOMParser().parseFromString(plain, "text/html");
  return <div class="paper">{inside(sheet.body)}</div>;
}

function inside(parent: Node): ComponentChildren[] {
  return [...parent.childNodes].map((node) => {
    if (node instanceof Text) return node.data;
    if (!(node instanceof Element) || left.has(node.tagName)) return null;
    const tag = shownAs[node.tagName];
    return tag === undefined
      ? inside(node)
      : h(tag, node.classList.contains("strong") ? { class: "strong" } : {}, ...inside(node));
  });
}
