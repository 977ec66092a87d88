/** The strip above every screen: what is only on this phone, what needs attention, and whether the server answers. */
import { sync } from "../../sync";
import { timeWords } from "../dates";
import { store } from "../here";
import { refusedPhotos } from "../refusals";
import { count } from "../words";
import { Sign } from "./signs";

interface Standing {
  look: "heed" | "waiting" | "";
  sign: "heed" | "here" | "sent";
  words: string;
}

export function standing(): Standing {
  const { errands, outbox, outvoted, parked, picturesWaiting } = store();
  const pass = sync.pass.value;
  const refusedErrands = errands.value.filter(({ said }) => said !== undefined).length;
  const unsent = outbox.value.length + errands.value.length - refusedErrands;
  const pictures = picturesWaiting.value;
  const signedOut = pass.trouble === "signed out";
  const demo = sync.door.value.who?.farm.is_demo;
  const trouble = signedOut ? (demo ? "the demo has closed" : "sign in to send") : (pass.trouble ?? "");
  const heeded = parked.value.length + refusedPhotos().length + refusedErrands;
  if (heeded > 0) {
    const more = unsent > 0 ? `, ${unsent} on this phone` : "";
    return {
      look: "heed",
      sign: "heed",
      words: `${heeded} ${heeded === 1 ? "needs" : "need"} attention${more}`,
    };
  }
  if (unsent + pictures > 0) {
    const what = [unsent > 0 && unsent, pictures > 0 && count(pictures, "picture")]
      .filter(Boolean)
      .join(" and ");
    const busy = pass.now === "resting" ? "" : "sending";
    const end = trouble || busy;
    return {
      look: signedOut ? "heed" : "waiting",
      sign: "here",
      words: `${what} on this phone${end && `, ${end}`}`,
    };
  }
  if (signedOut)
    return { look: "waiting", sign: "heed", words: demo ? "The demo has closed" : "Sign in again" };
  if (trouble) return { look: "", sign: "sent", words: `All sent, ${trouble}` };
  if (outvoted.value.length > 0) return { look: "", sign: "sent", words: "All sent, a later value stands" };
  return {
    look: "",
    sign: "sent",
    words: pass.lastDone ? `All sent ${timeWords(pass.lastDone)}` : "Fetching …",
  };
}

export function Strip() {
  const { look, sign, words } = standing();
  return (
    <a class={`strip ${look}`} href="#/unsent">
      <strong>{sync.door.value.who?.farm.name}</strong>
      <span class="where">
        <Sign of={sign} size={18} />
        <span>{words}</span>
      </span>
    </a>
  );
}
