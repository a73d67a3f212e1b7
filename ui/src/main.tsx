// The page: one screen at a time, after the address.
import { render } from "preact";
import { useEffect } from "preact/hooks";
import { greet } from "./api";
import { href, watchAddress, type Route } from "./route";
import { startQueue } from "./queue";
import { useShown } from "./state";
import { startRefreshing } from "./use-get";
import "./style/base.css";
import { Screen } from "./shell/screen";
import { BikeScreen } from "./views/bike";
import { NewBikeScreen } from "./views/bike-new";
import { LearnedScreen } from "./views/learned";
import { SettingsScreen } from "./views/settings";
import { SumsScreen } from "./views/sums";
import { BenchScreen } from "./views/bench";
import { CloseScreen } from "./views/close";
import { ClosedScreen } from "./views/closed";
import { HeardScreen } from "./views/heard";
import { LogScreen } from "./views/log";
import { NoteScreen, PhotoScreen } from "./views/note";
import { RecordingScreen } from "./views/recording";
import { OthersScreen } from "./views/others";
import { PairScreen } from "./views/pair";
import { PartsScreen } from "./views/parts-off";
import { RunScreen } from "./views/run";
import { SheetScreen } from "./views/sheet";
import { ShopScreen } from "./views/shop";
import { StepScreen } from "./views/step";
import { SuspectsScreen, WhyScreen } from "./views/suspects";
import { TakeInScreen } from "./views/take-in";
import { WaitingScreen } from "./views/waiting";

function Shown({ route }: { route: Route }) {
  switch (route.at) {
    case "shop":
      return <ShopScreen />;
    case "closed":
      return <ClosedScreen />;
    case "waiting":
      return <WaitingScreen />;
    case "pair":
      return <PairScreen code={route.code} />;
    case "take-in":
      return <TakeInScreen bike={route.bike} />;
    case "bench":
      return <BenchScreen job={route.job} />;
    case "heard":
      return <HeardScreen job={route.job} />;
    case "suspects":
      return <SuspectsScreen job={route.job} />;
    case "why":
      return <WhyScreen job={route.job} fault={route.fault} />;
    case "others":
      return <OthersScreen job={route.job} />;
    case "step":
      return <StepScreen job={route.job} step={route.step} />;
    case "run":
      return <RunScreen job={route.job} />;
    case "close":
      return <CloseScreen job={route.job} />;
    case "log":
      return <LogScreen job={route.job} />;
    case "parts":
      return <PartsScreen job={route.job} />;
    case "note":
      return <NoteScreen job={route.job} />;
    case "recording":
      return <RecordingScreen job={route.job} />;
    case "photo":
      return <PhotoScreen job={route.job} act={route.act} />;
    case "sheet":
      return <SheetScreen job={route.job} />;
    case "new-bike":
      return <NewBikeScreen />;
    case "bike":
      return <BikeScreen id={route.id} part={route.part} />;
    case "sums":
      return <SumsScreen id={route.id} />;
    case "settings":
      return <SettingsScreen />;
    case "learned":
      return <LearnedScreen />;
    case "lost":
      return (
        <Screen title="Nothing here" back={{ at: "shop" }} backTo="Shop">
          <p>No page has the address {route.path}.</p>
        </Screen>
      );
  }
}

function Page() {
  const route = useShown((s) => s.route);
  const unpaired = useShown((s) => s.link === "unpaired");
  useEffect(() => void greet(), []);
  // The screen waits underneath, unasked, while this phone is being paired; its address stays.
  if (unpaired && route.at !== "pair") return <PairScreen code="" />;
  return <Shown key={href(route)} route={route} />;
}

watchAddress();
startRefreshing();
void startQueue();
render(<Page />, document.getElementById("page")!);
if ("serviceWorker" in navigator) void navigator.serviceWorker.register("/sw.js").catch(() => undefined);
