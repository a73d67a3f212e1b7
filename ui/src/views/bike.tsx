// A bike: its address leads to one of these screens.
import { Got } from "../shell/busy";
import { Screen } from "../shell/screen";
import { useGet } from "../use-get";
import type { BikeView } from "../wire";
import { BikeFactScreen } from "./bike-fact";
import { BikeFigureScreen } from "./bike-figure";
import { BikeHoursScreen } from "./bike-hours";
import { BikePage } from "./bike-page";
import { BikeRenewedScreen } from "./bike-renewed";
import "./bike.css";

export function BikeScreen({ id, part }: { id: string; part: string }) {
  const loaded = useGet<BikeView>(`/bikes/${encodeURIComponent(id)}`, { live: true });
  const bike = loaded.value;
  if (!bike)
    return (
      <Screen title="Bike" back={{ at: "shop" }} backTo="Shop">
        <Got of={loaded}>{() => null}</Got>
      </Screen>
    );
  const [what = "", which = ""] = part.split("/");
  switch (what) {
    case "hours":
      return <BikeHoursScreen bike={bike} />;
    case "renewed":
      return <BikeRenewedScreen bike={bike} what={which} />;
    case "figure":
      return <BikeFigureScreen bike={bike} reading={which} />;
    case "fact":
      return <BikeFactScreen bike={bike} fact={which} />;
    default:
      return <BikePage bike={bike} loaded={loaded} />;
  }
}
