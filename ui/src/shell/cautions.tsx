// Cautions with their whole text, before what they are about.
import { capital } from "../job/words";
import type { Caution } from "../wire";
import "../style/cautions.css";

export function Cautions({ of }: { of: Caution[] }) {
  if (of.length === 0) return null;
  return (
    <div class="cautions">
      <p class="care">
        <svg viewBox="0 0 24 24" aria-hidden="true">
          <path d="M12 3 L22 21 H2 Z M12 10 V14.5 M12 17.4 V17.6" />
        </svg>
        Caution
      </p>
      <ul class="plain">
        {of.map((c) => (
          <li key={c.id}>
            <b>{capital(c.name)}.</b> {c.text}
          </li>
        ))}
      </ul>
    </div>
  );
}
