/** When an answer was worked out, and what was recorded since: so that nobody takes last week's for today's. */
import { ofKind } from "../../store";
import { stampWords } from "../dates";
import { now, store } from "../here";
import { count } from "../words";
import { type Answered, NO_SIGNAL } from "./ask";

export function Dated({ answer, from }: { answer: Answered<unknown>; from?: string }) {
  const since = newSince(answer.upto);
  return (
    <p class="quiet small" role="status">
      Worked out {stampWords(answer.heard, now.value)}
      {from && `, from ${from}`}
      {since && `; ${since} since`}. {after(answer)}
    </p>
  );
}

function after({ asking, trouble }: Answered<unknown>): string {
  if (asking) return "Asking anew …";
  return trouble === NO_SIGNAL ? "No signal: it is worked out anew where there is one." : trouble;
}

/** What the answer cannot know: unsent, or numbered after what this phone had read when it asked. */
function newSince(upto: number): string {
  const { rows } = store();
  const fresh = (kind: "block" | "pick") =>
    ofKind(rows.value, kind).filter(({ seq, where }) => seq > upto || where !== "sent").length;
  const [blocks, picks] = [fresh("block"), fresh("pick")];
  return [blocks > 0 && count(blocks, "block"), picks > 0 && count(picks, "pick")].filter(Boolean).join(", ");
}

/** While there is no answer to show: that it is on its way, or why it is not. */
export function NoAnswer({ answer, what }: { answer: Answered<unknown>; what: string }) {
  if (answer.said === undefined) return null;
  return (
    <p role="status">
      {answer.asking
        ? `Asking the server for ${what} …`
        : `${answer.trouble || "One moment."} This phone has not heard ${what} yet: the server works it out where there is a signal.`}
    </p>
  );
}
