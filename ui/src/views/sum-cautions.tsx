// Cautions with their whole text, before what they are about.
import { capital } from "../job/words";
import type { Caution } from "../wire";
import "./sum-cautions.css";

export function Cautions({ of }: { of: Caution[] }) {
  if (of.length === 0) return null;
  return (
    <div class="care">
      <svg viewBox="0 0 24 24" aria-hidden="true">
        <path d="M12 3L22 21H2ZM12 10V14.5M12 17.4V17.6" />
      </svg>
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
