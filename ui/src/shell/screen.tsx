// <Screen title back foot>: the frame of every screen. `back` is where the arrow leads; `foot` stays at the bottom of the
// window, in reach of the thumb: the answers and buttons of the screen. `of` is what it shows, where that does not stand in
// a <Got>, to be marked when it is not of now. <Section title> groups what is in it.
import type { ComponentChildren } from "preact";
import { useEffect, useLayoutEffect, useRef } from "preact/hooks";
import { href, type Route } from "../route";
import { useShown } from "../state";
import type { Loaded } from "../use-get";
import { AsOf } from "./busy";
import { Status } from "./status";
import "../style/screen.css";

interface ScreenProps {
  title: string;
  over?: ComponentChildren; // small, above the title
  back?: Route;
  backTo?: string; // where it leads, in words
  foot?: ComponentChildren;
  wide?: boolean;
  of?: Loaded<unknown>;
  children: ComponentChildren;
}

let first = true;

export function Screen({ title, over, back, backTo = "Back", foot, wide = false, of, children }: ScreenProps) {
  const heading = useRef<HTMLHeadingElement>(null);
  const demo = useShown((s) => s.hello?.demo ?? false);
  useEffect(() => {
    document.title = `${title} - crankwise`;
  }, [title]);
  useLayoutEffect(() => {
    if (!first) heading.current?.focus({ preventScroll: true });
    first = false;
  }, []);
  return (
    <div class={wide ? "screen wide" : "screen"}>
      <header class="head">
        {back ? (
          <a class="back" href={href(back)} aria-label={backTo}>
            <svg viewBox="0 0 24 24" aria-hidden="true">
              <path d="M15 4 L7 12 L15 20" />
            </svg>
          </a>
        ) : null}
        <div class="title">
          {over ? <p class="over">{over}</p> : null}
          <h1 ref={heading} tabIndex={-1}>
            {title}
          </h1>
        </div>
        {demo ? <span class="demo">demo</span> : null}
        <Status />
      </header>
      <main class="body">
        {of ? <AsOf of={of} /> : null}
        {children}
      </main>
      {foot ? (
        <section class="foot" aria-label="To do here">
          {foot}
        </section>
      ) : null}
    </div>
  );
}

export function Section({
  title,
  tools,
  children,
}: {
  title: string;
  tools?: ComponentChildren;
  children: ComponentChildren;
}) {
  return (
    <section class="section">
      <div class="section-head">
        <h2>{title}</h2>
        {tools}
      </div>
      {children}
    </section>
  );
}
