/** What is told of a soak, a move, a contamination or a note, in one short form. */
import { useState } from "preact/hooks";
import { NO_MASSES, readSoak, type SoakDraft, type SoakRead } from "../../records/soaked";
import type { Contamination, What } from "../../records/types";
import type { Change } from "../../store";
import { unit } from "../here";
import { Select, Text } from "../parts/field";
import { PlaceField, placeOf } from "../parts/place_field";
import { Masses } from "../parts/soak_masses";
import { Form, Tap } from "../parts/tap";
import { CARRY_OUT, EAT_NOTHING } from "../standing";
import { CONTAMINATIONS, WHATS } from "../words";
import type { Told } from "./happened";
import { OUT_BEFORE_IN, SoakTimes } from "./soak_times";

interface Draft {
  until: string | null;
  soak: SoakDraft;
  place: string;
  placeName: string;
  contamination: Contamination;
  note: string;
}

const BLANK: Draft = {
  until: null,
  soak: NO_MASSES,
  place: "",
  placeName: "",
  contamination: "",
  note: "",
};

interface Props {
  what: What;
  /** when it began, as far as that can be read */
  begun: { value?: string; wrong?: string | undefined };
  /** the same on saving; undefined where the time is wrong, which then says so */
  at: () => string | undefined;
  onSave: (told: Told, places: readonly Change[]) => unknown;
  onOther: () => void;
}

export function Details({ what, begun, at, onSave, onOther }: Props) {
  const [draft, setDraft] = useState(BLANK);
  const [tried, setTried] = useState(false);
  const tell = (part: Partial<Draft>) => setDraft((now) => ({ ...now, ...part }));
  const read = readTold(what, draft, begun.value ?? new Date().toISOString());
  const save = () => {
    setTried(true);
    const time = at();
    if (!time || "wrong" in read) return;
    return onSave({ ...read.told, at: time }, read.places);
  };
  const wrong = tried && "wrong" in read ? read.wrong : "";
  return (
    <Form
      onSave={save}
      below={
        <Tap look="plain" onTap={onOther}>
          Something else happened
        </Tap>
      }
    >
      <h2>{WHATS[what]}</h2>
      {what === "soaked" && (
        <>
          <SoakTimes
            begun={begun.value}
            until={draft.until}
            wrong={wrong}
            onUntil={(until) => tell({ until })}
          />
          <Masses
            draft={draft.soak}
            tried={tried}
            onChange={(part) => tell({ soak: { ...draft.soak, ...part } })}
          />
        </>
      )}
      {what === "moved" && (
        <PlaceField name="Where it stands now" none="Choose" draft={draft} wrong={wrong} onChange={tell} />
      )}
      {what === "contamination" && <Spoilt draft={draft} wrong={wrong} onTell={tell} />}
      <Text
        name={what === "note" ? "Your note" : "Note (if any)"}
        long
        most={2000}
        value={draft.note}
        wrong={what === "note" ? wrong : undefined}
        onText={(words) => tell({ note: words })}
      />
    </Form>
  );
}

interface Telling {
  draft: Draft;
  wrong: string;
  onTell: (part: Partial<Draft>) => void;
}

function Spoilt({ draft, wrong, onTell }: Telling) {
  return (
    <>
      <Select
        name="What it looks like"
        value={draft.contamination}
        options={[["", "Choose"], ...Object.entries(CONTAMINATIONS)]}
        wrong={wrong}
        onPick={(kind) => onTell({ contamination: kind as Contamination })}
      />
      <p class="care">
        {CARRY_OUT} {EAT_NOTHING}
      </p>
    </>
  );
}

type Read = { told: Omit<Told, "at">; places: readonly Change[] } | { wrong: string };

/** `wrong` is "" where the masses of a soak say themselves what is wrong with them. */
function readTold(what: What, draft: Draft, begun: string): Read {
  const { until, contamination, note } = draft;
  const told = { until, contamination, note };
  if (what === "moved") return readMoved(draft);
  if (what === "contamination" && !contamination)
    return { wrong: "Choose what it looks like; “Something else” will do." };
  if (what === "note" && !note.trim()) return { wrong: "Write a word or two." };
  if (what !== "soaked") return { told, places: [] };
  if (until && Date.parse(until) < Date.parse(begun)) return { wrong: OUT_BEFORE_IN };
  const soak: SoakRead = readSoak(draft.soak, unit.value);
  return "fields" in soak ? { told: { ...told, ...soak.fields }, places: [] } : { wrong: "" };
}

function readMoved(draft: Draft): Read {
  const places: Change[] = [];
  const place = placeOf(draft, places);
  if (place.wrong !== undefined) return { wrong: place.wrong };
  if (place.id === null) return { wrong: "Choose the place it went to." };
  return { told: { place: place.id, note: draft.note }, places };
}
