/** What is only on this phone, and what the server would not take, with the way out of each. */
import { sync } from "../../sync";
import { stampWords, whenWords } from "../dates";
import { now, store } from "../here";
import { isContested } from "../history/changes";
import { Frame } from "../parts/frame";
import { OutvotedFields } from "../parts/outvoted_fields";
import { Refused, RefusedPicture } from "../parts/refused";
import { SignIn } from "../parts/sign_in";
import { Tap } from "../parts/tap";
import { opWords } from "../record_words";
import { refusedPhotos } from "../refusals";
import { go } from "../route";
import { once } from "../saving";
import { count } from "../words";

export function Unsent() {
  const { outbox, parked, picturesWaiting, rows } = store();
  const pass = sync.pass.value;
  const over = pass.trouble === "signed out";
  const photos = refusedPhotos();
  const { length: unsent } = outbox.value;
  const pictures = picturesWaiting.value;
  const outvoted = store().outvoted.value.filter((each) => isContested(each, rows.value.get(each.row)));
  return (
    <Frame
      title="Sent and unsent"
      from="#/today"
      acts={!(over && isDemo()) && <TryNow busy={pass.now !== "resting"} />}
    >
      {over ? <ComeBack count={unsent + pictures} /> : <Pass />}
      {parked.value.length + photos.length > 0 && (
        <section>
          <h2>Needs attention</h2>
          {parked.value.length > 0 && (
            <p>
              The server would not take {parked.value.length === 1 ? "this" : "these"}. Nothing is lost:
              correct and send again.
            </p>
          )}
          {parked.value.map((each) => (
            <Refused key={each.op.id} parked={each} />
          ))}
          {photos.map(([photo, words]) => (
            <RefusedPicture key={photo.id} photo={photo} words={words} />
          ))}
        </section>
      )}
      {outvoted.length > 0 && (
        <section>
          <h2>Another phone's later value stands</h2>
          {outvoted.map((each) => (
            <OutvotedFields key={each.row} outvoted={each} />
          ))}
        </section>
      )}
      <ToBeMade />
      <section>
        <h2>On this phone</h2>
        {unsent + pictures === 0 && <p>Nothing waits: everything from this phone is sent.</p>}
        {pictures > 0 && <p>{count(pictures, "picture file")} to send, small ones first.</p>}
        <ul class="list">
          {outbox.value.map((op) => (
            <li class="line" key={op.id}>
              <span class="grow">{opWords(op)}</span>
              <span class="quiet small">{whenWords(op.at, now.value)}</span>
            </li>
          ))}
        </ul>
      </section>
    </Frame>
  );
}

/** Reports that were asked for: the server makes them once everything is sent. */
function ToBeMade() {
  const errands = store().errands.value;
  if (errands.length === 0) return null;
  return (
    <section>
      <h2>To be made by the server</h2>
      <ul class="list">
        {errands.map(({ id, made, said }) => (
          <li class="line" key={id}>
            <a class="grow" href={`#/report/${id}`}>
              <strong>Yield report</strong>
              {said && <span class="small">needs attention: {said}</span>}
            </a>
            <span class="quiet small">{whenWords(made, now.value)}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function TryNow({ busy }: { busy: boolean }) {
  return (
    <Tap look="main" onTap={() => sync.tryNow()}>
      {busy ? "Sending …" : "Try now"}
    </Tap>
  );
}

function Pass() {
  const pass = sync.pass.value;
  const ahead = sync.clockAheadMin.value ?? 0;
  const done = pass.lastDone && `Last sent and fetched ${stampWords(pass.lastDone, now.value)}.`;
  return (
    <div aria-live="polite">
      {pass.trouble !== null && <p>{pass.detail}</p>}
      <p class="quiet">{done ?? "Nothing was sent from this phone yet."}</p>
      {Math.abs(ahead) > 10 && (
        <p>
          This phone's clock is {Math.abs(ahead)} min {ahead > 0 ? "ahead of" : "behind"} the server's. Set
          it, so that picks get the right time.
        </p>
      )}
    </div>
  );
}

/** Nobody has an account in a demo farm: the first farm of one's own ends them all. */
function isDemo(): boolean {
  return sync.door.value.who?.farm.is_demo ?? false;
}

function ComeBack({ count }: { count: number }) {
  return isDemo() ? <DemoClosed /> : <SignAgain count={count} />;
}

function DemoClosed() {
  const leave = () =>
    once("leave the demo", async () => {
      await sync.signOut(true);
      go("#/today");
    });
  return (
    <section class="form sheet">
      <h2>The demo farm has closed.</h2>
      <p>What you noted in it was for trying. At the door you sign in to a farm of your own.</p>
      <Tap look="main" onTap={leave}>
        Go to the door
      </Tap>
    </section>
  );
}

function SignAgain({ count: waiting }: { count: number }) {
  return (
    <section class="form sheet">
      <h2>{waiting > 0 ? `Sign in to send ${waiting}` : "Sign in again"}</h2>
      <p>You can go on recording; it is all kept on this phone.</p>
      <SignIn email={sync.door.value.who?.person.email ?? ""} />
    </section>
  );
}
