/** What every record's page shows beside its own. Its room fills this in, which is fetched after the first screen stands. */
import { signal } from "@preact/signals";
import type { JSX } from "preact";

export const beside = signal<((props: { top?: boolean }) => JSX.Element | null) | null>(null);
