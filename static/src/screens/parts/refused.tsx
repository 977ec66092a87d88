/** What the server would not take: a change or a picture, each with the server's words and the way out of it. */
import { useState } from "preact/hooks";
import type { Standing } from "../../records/farm_view";
import type { Parked } from "../../store/api";
import { farm, mayPick, store } from "../here";
import { fieldName } from "../record_kinds";
import { opWords, recordWords } from "../record_words";
import { correctable } from "../refusals";
import { once, say, write } from "../saving";
import { STAGES } from "../words";
import { Text, Wrong } from "./field";
import { Picture } from "./picture";
import { Tap } from "./tap";
import { Twice } from "./twice";

export function Refused({ parked }: { parked: Parked }) {
  const { op, field, message } = parked;
  const value = field ? (op.fields as Record<string, unknown>)[field] : undefined;
  const words = opWords(op);
  const formed = correctable(parked);
  // A text may be a choice, or another record's id: where there is a form, that knows.
  const inline = typeof value === "number" || (typeof value === "string" && !formed);
  return (
    <div class="form sheet">
      <p>
        <strong>{words}</strong>
      </p>
      {inline && field ? <OneField parked={parked} field={field} value={value} /> : <Wrong>{message}</Wrong>}
      {!inline && formed && (
        <a class="tap" href={`#/unsent/${op.id}`}>
          Correct it
        </a>
      )}
      {!inline && <Tap onTap={() => sendAgain(parked)}>Send again as it is</Tap>}
      <Twice
        words="Give it up"
        means={`${words} is then gone from this phone and was never on the server.`}
        sure="Yes, give it up"
        onDo={() =>
          once(`discard ${op.id}`, async () => {
            await store().discard(op.id);
            say("Given up.");
          })
        }
      />
    </div>
  );
}

function sendAgain({ op }: Parked, fields: Record<string, unknown> = {}): Promise<boolean> {
  return once(`resend ${op.id}`, async () => {
    await store().resend(op.id, fields);
    say("It waits to be sent again.");
  });
}

interface OneFieldProps {
  parked: Parked;
  field: string;
  value: string | number;
}

function OneField({ parked, field, value }: OneFieldProps) {
  const [text, setText] = useState(String(value));
  const fixed = typeof value === "number" ? Number(text.trim().replace(",", ".") || Number.NaN) : text;
  const send = () => {
    if (Number.isNaN(fixed)) return say(`“${text}” is no number.`);
    const changed = text === String(value) ? {} : { [field]: fixed, ...untyped(field) };
    return sendAgain(parked, changed);
  };
  return (
    <>
      <Text name={fieldName(field)} value={text} wrong={parked.message} onText={setText} />
      <Tap onTap={send}>Send again</Tap>
    </>
  );
}

/** Grams that are corrected are no longer what was typed. */
function untyped(field: string): Record<string, string> {
  if (["wet_g", "mass_g", "drained_g"].includes(field)) return { typed: "" };
  return field === "dry_g" ? { dry_typed: "" } : {};
}

interface PictureProps {
  photo: Standing<"photo">;
  words: string;
}

/** A picture is never corrected: tried again as it is, or its photo is deleted. */
export function RefusedPicture({ photo, words }: PictureProps) {
  const { id, fields } = photo;
  const stage = STAGES[fields.stage];
  const label = farm.value.block.get(fields.block)?.fields.label ?? "";
  return (
    <div class="form sheet">
      <div class="shot">
        <Picture sha256={fields.thumb_sha256} alt={`${label}, ${stage.toLowerCase()}`} />
        <div>
          <p>
            <strong>
              Picture of {label || recordWords(photo)}, {stage.toLowerCase()}
            </strong>
          </p>
          <a href={`#/photo/${id}`}>Look at it</a>
        </div>
      </div>
      <Wrong>{words}</Wrong>
      <p class="quiet">“Try now” sends it once more.</p>
      {mayPick.value && (
        <Tap look="heed" onTap={() => write({ verb: "delete", kind: "photo", id }, "Photo deleted.")}>
          Delete this photo
        </Tap>
      )}
    </div>
  );
}
