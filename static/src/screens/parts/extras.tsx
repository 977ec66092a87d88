/** What a weighing may carry besides: a photo, the dried mass, another time. None of them is asked for. */
import { useState } from "preact/hooks";
import type { BlockView } from "../../records/farm_view";
import { makePictures } from "../../store";
import { dayWords, fieldTime, localDay } from "../dates";
import { once } from "../saving";
import type { Weighing } from "../weighing";
import { Text } from "./field";
import { Sign } from "./signs";
import { Tap } from "./tap";

interface Props {
  view: BlockView;
  weighing: Weighing;
  /** a pick that is corrected has its time already */
  timed: boolean;
  wrong: string;
  onChange: (part: Partial<Weighing>) => void;
}

export function Extras({ view, weighing, timed, wrong, onChange }: Props) {
  const { photo, when, on } = weighing;
  const [timing, setTiming] = useState(when !== "" && !timed);
  const turn = () => {
    setTiming(!timing);
    if (!timed) onChange({ when: timing ? "" : fieldTime(new Date()) });
  };
  const received = view.delivery?.fields.received;
  return (
    <>
      <div class="three">
        <PhotoButton
          has={photo !== null}
          onPhoto={(pair) => onChange({ photo: { pair, stage: "picked" } })}
        />
        <Tap pressed={on === "dry"} onTap={() => onChange({ on: on === "dry" ? "wet" : "dry" })}>
          Dried
        </Tap>
        <Tap open={timing} onTap={turn}>
          {timed ? "When" : "Earlier"}
        </Tap>
      </div>
      {timing && (
        <Text
          name="Picked"
          type="datetime-local"
          value={when}
          wrong={wrong || undefined}
          hint={received && `The block arrived on ${dayWords(received, localDay(new Date()))}.`}
          onText={(text) => onChange({ when: text })}
        />
      )}
      {!timing && wrong && <p class="wrong">{wrong}</p>}
    </>
  );
}

type Pair = Awaited<ReturnType<typeof makePictures>>;

export function PhotoButton(props: {
  has: boolean;
  words?: string;
  onPhoto: (pair: Pair) => void | Promise<void>;
}) {
  const [busy, setBusy] = useState(false);
  const take = async (input: HTMLInputElement) => {
    const file = input.files?.[0];
    if (!file) return;
    setBusy(true);
    await once(`photo ${file.name} ${file.lastModified}`, async () =>
      props.onPhoto(await makePictures(file)),
    );
    setBusy(false);
    input.value = "";
  };
  return (
    <label class="tap">
      <Sign of={props.has ? "sent" : "camera"} />
      {busy ? "Wait" : (props.words ?? "Photo")}
      <span class="unseen">{props.has ? "taken; take another" : ""}</span>
      <input
        type="file"
        accept="image/*"
        capture="environment"
        disabled={busy}
        onChange={(event) => void take(event.currentTarget)}
      />
    </label>
  );
}
